"""The width of blur discs by Mitsuba's `thinlens`: `blur_rows.py` writes blur_rows.json beside this file.

A small disc of light off the plane in focus. From the picture's second moment <r^2> its width is sqrt(8 <r^2>), as of a flat
disc; what the disc of light itself takes is subtracted in squares. A real lens is moved away from its sensor to focus, to
v = f s1 / (s1 - f), so the field of view follows from v.
"""

import json
import math
import platform
from importlib.metadata import version
from pathlib import Path

import mitsuba as mi
import numpy as np

mi.set_variant("scalar_rgb")

# Focal length in mm, f-number, focus and object in metres.
ROWS = [
    (50, 1.4, 2, 4),
    (50, 2.8, 3, 6),
    (85, 1.8, 3, 2.5),
    (85, 2.8, 5, 15),
    (200, 2.8, 10, 30),
    (24, 5.6, 3, 1),
]
SIDE_PX = 192
RAYS_A_PIXEL = 256
# Strip of sensor shown, in blur discs; and the disc of light, in blur discs.
SHOWN, LIGHT = 1.6, 0.1


def blur_mm(focal_mm, f_number, focus_m, object_m):
    focal_m = focal_mm / 1000
    image_m = focal_m * focus_m / (focus_m - focal_m)
    # Only to choose how much of the sensor to look at.
    about_m = focal_m**2 / f_number * abs(object_m - focus_m) / (object_m * (focus_m - focal_m))
    shown_m = SHOWN * about_m
    radius_m = LIGHT * about_m / 2 * object_m / image_m
    turn = mi.ScalarTransform4f
    scene = mi.load_dict(
        {
            "type": "scene",
            "integrator": {"type": "direct"},
            "sensor": {
                "type": "thinlens",
                "fov": 2 * math.degrees(math.atan(shown_m / (2 * image_m))),
                "fov_axis": "x",
                "aperture_radius": focal_m / (2 * f_number),
                "focus_distance": focus_m,
                "to_world": turn().look_at([0, 0, 0], [0, 0, 1], [0, 1, 0]),
                "film": {"type": "hdrfilm", "width": SIDE_PX, "height": SIDE_PX, "rfilter": {"type": "box"}},
            },
            "light": {
                "type": "disk",
                "to_world": turn().translate([0, 0, object_m]).rotate([0, 1, 0], 180).scale(radius_m),
                "emitter": {"type": "area", "radiance": {"type": "rgb", "value": 1e4}},
            },
        }
    )
    light = np.array(mi.render(scene, spp=RAYS_A_PIXEL, seed=1))[..., 0].astype(float)
    middle = (np.arange(SIDE_PX) + 0.5 - SIDE_PX / 2) * shown_m / SIDE_PX
    across, down = np.meshgrid(middle, middle)
    # Square pixels and where rays fall in them widen by next to nothing: a 120th of a disc.
    mean = lambda value: (light * value).sum() / light.sum()
    square = mean(across**2 + down**2) - mean(across) ** 2 - mean(down) ** 2
    own_m = 2 * radius_m * image_m / object_m
    return math.sqrt(8 * square - own_m**2) * 1000


def main():
    rows = [
        {"focal_mm": f, "f_number": n, "focus_m": s1, "object_m": s2, "blur_mm": round(blur_mm(f, n, s1, s2), 5)}
        for f, n, s1, s2 in ROWS
    ]
    versions = {"python": platform.python_version(), "mitsuba": version("mitsuba"), "numpy": version("numpy")}
    lines = ",\n".join(json.dumps(row) for row in rows)
    text = f'{{"versions": {json.dumps(versions)}, "rows": [\n{lines}\n]}}\n'
    Path(__file__).with_name("blur_rows.json").write_text(text)
    print(text, end="")


if __name__ == "__main__":
    main()
