"""One frame through a thin lens by Mitsuba: `blur_frame.py TABLEAU.glb SETTINGS.json PICTURE.png`.

Every owner is of one flat colour, so that the picture shows blur and what hides what, and no light: of the owner's id the
FNV-1a hash of 32 bits, its lowest byte as red, the next as green, the third as blue, each over 255, linear. Background black.
Left out as in visibility.py: what one sees through, the photographer who takes the frame, closed solids that hold the lens.

SETTINGS has frame, photographer, f_number, sensor_mm and focus_m, the distance along the axis of the plane in focus: that of
the eyes of whom the frame focuses on. What was used besides is written into it: focal length, aperture, size, rays, versions.

The program, like a preview, takes the field of view from the focal length f alone, but the blur on the sensor from a real
lens: f²/N · |d - s| / (d (s - f)) at a distance d with focus at s. Mitsuba's lens of diameter D spreads a point at d over
D |d - s| / d of the plane in focus, which its field of view shrinks by f / s. They agree if D = f/N · s / (s - f).
"""

import json
import math
import platform
import sys
from importlib.metadata import version

import cv2
import mitsuba as mi
import numpy as np

import tableau
import visibility

# Needs LLVM on the machine; "scalar_rgb" does not, and takes more than thirty times as long.
mi.set_variant("llvm_ad_rgb")

LONG_PX = 240
RAYS_A_PIXEL = 1024
# 12 of the file's 16 bits: finer is the scatter of the rays, which packs badly.
STEPS = 4095


def colour_of(owner):
    value = 0x811C9DC5
    for byte in owner.encode():
        value = (value ^ byte) * 0x01000193 & 0xFFFFFFFF
    return [(value >> shift & 0xFF) / 255 for shift in (0, 8, 16)]


def mesh(owner, corners):
    """Triangles of an owner (n, 3, 3) as a flat surface, the same from both sides."""
    matt = {"type": "twosided", "bsdf": {"type": "diffuse", "reflectance": {"type": "rgb", "value": colour_of(owner)}}}
    properties = mi.Properties()
    properties["bsdf"] = mi.load_dict(matt)
    made = mi.Mesh(owner.replace("/", "-"), len(corners) * 3, len(corners), props=properties)
    values = mi.traverse(made)
    values["vertex_positions"] = corners.astype(np.float32).ravel()
    values["faces"] = np.arange(len(corners) * 3, dtype=np.uint32)
    values.update()
    return made


def render(glb, settings):
    scene = tableau.read(glb)
    camera = scene.cameras[settings["frame"]]
    size = visibility.size_of(camera, LONG_PX)
    focal_m = settings["sensor_mm"][1] / 1000 / 2 / math.tan(camera.yfov / 2)
    focus_m = settings["focus_m"]
    aperture_m = focal_m / settings["f_number"] * focus_m / (focus_m - focal_m)
    settings |= {"focal_mm": round(focal_m * 1000, 4), "aperture_mm": round(aperture_m * 1000, 4)}
    settings |= {"width": size[0], "height": size[1], "rays_a_pixel": RAYS_A_PIXEL}

    there = ~scene.see_through & (np.array(scene.owners) != settings["photographer"])
    there &= ~visibility.holding(scene, camera.eye)
    corners, solid_of = scene.triangles_of(there)
    corners = (corners - camera.eye) @ camera.axes
    # Whole numbers of pixels make them a hair wider than high; Mitsuba's are square, so the scene is stretched instead.
    corners[..., 0] *= size[0] / size[1] / camera.aspect
    owner_of = np.array(scene.owners)[solid_of]
    film = {"width": size[0], "height": size[1], "rfilter": {"type": "box"}, "pixel_format": "rgb"}
    look_along = mi.ScalarTransform4f().look_at([0, 0, 0], [0, 0, -1], [0, 1, 0])
    parts = {
        "type": "scene",
        "integrator": {"type": "aov", "aovs": "colour:albedo"},
        "sensor": {
            "type": "thinlens",
            "fov": math.degrees(camera.yfov),
            "fov_axis": "y",
            "near_clip": 0.01,
            "far_clip": 10000,
            "aperture_radius": aperture_m / 2,
            "focus_distance": focus_m,
            "to_world": look_along,
            "film": {"type": "hdrfilm", **film},
            "sampler": {"type": "multijitter", "sample_count": RAYS_A_PIXEL},
        },
    }
    for number, owner in enumerate(np.unique(owner_of)):
        parts[f"owner-{number}"] = mesh(str(owner), corners[owner_of == owner])
    picture = np.array(mi.render(mi.load_dict(parts), seed=1))
    return picture[..., -3:]


def main():
    glb, settings_path, picture_path = sys.argv[1:]
    settings = json.load(open(settings_path))
    linear = np.clip(render(glb, settings), 0, 1)
    coarse = np.round(linear * STEPS) / STEPS
    cv2.imwrite(picture_path, np.round(coarse[..., ::-1] * 65535).astype(np.uint16), [cv2.IMWRITE_PNG_COMPRESSION, 9])
    packages = {name: version(name) for name in ("mitsuba", "numpy", "opencv-python-headless")}
    settings["versions"] = {"python": platform.python_version(), **packages}
    with open(settings_path, "w") as file:
        file.write(json.dumps(settings, indent=1) + "\n")


if __name__ == "__main__":
    main()
