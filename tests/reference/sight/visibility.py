"""What one frame sees, counted by Embree: `visibility.py TABLEAU.glb FRAME PHOTOGRAPHER [--width 480]`, JSON on stdout.

Rays of an ideal pinhole through the middles of the pixels, against the triangles of the .glb. The same counts as
`standpoint sight`, by other code: of each group of parts of each person the pixels it would take alone in a picture without
edges, those in the frame, those left to be seen, and who is before the rest; of each thing and each other photographer the pixels seen.

Left out: what one sees through (blended materials), all of the photographer who takes the frame, and closed solids that hold
the lens.
"""

import argparse
import json
import platform

import numpy as np
from embreex.mesh_construction import TriangleMesh
from embreex.rtcore_scene import EmbreeScene

import tableau

GROUPS = {
    "face": {"face"},
    "head": {"face", "head", "hair", "hat"},
    "torso": {"torso", "pelvis"},
    "hands": {"hand"},
    "whole": None,
}
# Every figure has one; nothing else has. Photographers hold a camera as well.
FIGURE, CAMERA = "neck", "camera"
# Pictures looked at beside each edge; the program looks as far.
PICTURES_BESIDE = 20
# Rays beside the picture before pixels are taken in fours, nines and so on; the program does so five times sooner.
MOST_RAYS = 2_000_000
# Nearer than this to the lens' plane nothing is in front of it.
NEAREST_M = 1e-3
# Surfaces as near to each other as this share of their distance touch: 20 um at 10 m, several times what 32 bits can tell.
# Much more would move the lines where parts of a body run into each other.
TOUCHING = 2e-6


class Casts:
    """First hits on triangles (from the lens, metres) of rays that start at the lens; -1 is nothing."""

    def __init__(self, corners, solid_of):
        self.solid_of = solid_of
        self.scene = EmbreeScene()
        if len(corners):
            TriangleMesh(self.scene, corners.astype(np.float32))

    def first(self, towards):
        if not len(self.solid_of):
            return np.full(len(towards), -1)
        triangle = self.scene.run(np.zeros(towards.shape, np.float32), towards.astype(np.float32))
        return np.where(triangle >= 0, self.solid_of[triangle], -1)


def first_in_picture(camera, size, corners, solid_of):
    """First hits of the picture's pixels; of several solids at the same distance the first in the file, as the program does.

    Embree takes any of them, and girders do touch walls. Seen from the lens nothing changes its outline when it is stretched
    away from the lens. So for each bit of a solid's number everything is cast once with those that have the bit a hair
    farther away: of two that touch, the one with the lower number wins at the highest bit in which they differ.
    """
    x, y, z = np.moveaxis(corners @ camera.axes, -1, 0)
    beside = [(side > -z * half).all(1) for axis, half in zip((x, y), camera.half()) for side in (axis, -axis)]
    maybe_in = ~np.any(beside, axis=0)
    corners, solid_of = corners[maybe_in], solid_of[maybe_in]
    rays = towards(camera, size, 0, 0, *size)
    nothing = int(solid_of.max(initial=0)) + 1
    first = np.full(len(rays), nothing)
    for bit in range(nothing.bit_length()):
        stretched = 1 + (solid_of >> bit & 1) * TOUCHING
        hit = Casts(corners * stretched[:, None, None], solid_of).first(rays)
        first = np.minimum(first, np.where(hit >= 0, hit, nothing))
    return np.where(first < nothing, first, -1).reshape(size[1], size[0])


def size_of(camera, long_px):
    """Long side as asked, the other rounded to whole pixels."""
    if camera.aspect >= 1:
        return long_px, max(1, int(long_px / camera.aspect + 0.5))
    return max(1, int(long_px * camera.aspect + 0.5)), long_px


def towards(camera, size, left, top, wide, high, step=1):
    """Directions through the middles of pixels, of `step` of the picture's pixels a side, row by row; of depth 1."""
    half_wide, half_high = camera.half()
    right, up, back = camera.axes.T
    x = ((left + np.arange(wide) + 0.5) * step / size[0] * 2 - 1) * half_wide
    y = (1 - (top + np.arange(high) + 0.5) * step / size[1] * 2) * half_high
    across, down = x[:, None] * right, y[:, None] * up - back
    return (across[None] + down[:, None]).reshape(-1, 3)


def holding(scene, eye):
    """Closed convex solids round a point."""
    low = np.full((len(scene.owners), 3), np.inf)
    high = np.full((len(scene.owners), 3), -np.inf)
    for corner in range(3):
        np.minimum.at(low, scene.solid_of, scene.triangles[:, corner])
        np.maximum.at(high, scene.solid_of, scene.triangles[:, corner])
    near = ((low <= eye) & (eye <= high)).all(1)
    holds = np.zeros(len(scene.owners), bool)
    for solid in np.flatnonzero(near):
        corners = scene.triangles[scene.solid_of == solid]
        normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        closed = np.linalg.norm(normals.sum(0)) < 1e-4 * np.linalg.norm(normals, axis=1).sum()
        inside = (((eye - corners[:, 0]) * normals).sum(1) < 0).all()
        holds[solid] = closed and inside
    return holds


def rectangle(camera, size, corners):
    """Pixels that triangles (from the lens) reach, cut off behind the lens and far beside the picture; None if there are none."""
    in_camera = corners @ camera.axes
    points = [in_camera.reshape(-1, 3)]
    for a, b in ((0, 1), (1, 2), (2, 0)):
        # Where an edge goes through the plane just before the lens.
        one, other = in_camera[:, a], in_camera[:, b]
        across = (-one[:, 2] < NEAREST_M) != (-other[:, 2] < NEAREST_M)
        one, other = one[across], other[across]
        share = (-NEAREST_M - one[:, 2]) / (other[:, 2] - one[:, 2])
        points.append(one + (other - one) * share[:, None])
    points = np.concatenate(points)
    points = points[-points[:, 2] >= NEAREST_M * 0.999]
    if not len(points):
        return None
    half_wide, half_high = camera.half()
    x = (points[:, 0] / -points[:, 2] / half_wide + 1) / 2 * size[0]
    y = (1 - points[:, 1] / -points[:, 2] / half_high) / 2 * size[1]
    cut = lambda value, side: int(np.clip(value, -PICTURES_BESIDE * side, (PICTURES_BESIDE + 1) * side))
    return (
        cut(np.floor(x.min()) - 1, size[0]),
        cut(np.floor(y.min()) - 1, size[1]),
        cut(np.ceil(x.max()) + 1, size[0]),
        cut(np.ceil(y.max()) + 1, size[1]),
    )


def alone_px(camera, casts, size, round_them):
    """Pixels of a rectangle where something is hit."""
    left, top, right, bottom = round_them
    step = max(1, int(np.ceil(np.sqrt((right - left) * (bottom - top) / MOST_RAYS))))
    left, top, right, bottom = left // step, top // step, -(-right // step), -(-bottom // step)
    count = 0
    rows = max(1, 1_000_000 // max(1, right - left))
    for row in range(top, bottom, rows):
        rays = towards(camera, size, left, row, right - left, min(rows, bottom - row), step)
        count += int((casts.first(rays) >= 0).sum())
    return count * step * step


def seen(scene, frame, photographer, long_px, also=()):
    """All counts of a frame, of everybody of whom something is in it, and of some others."""
    camera = scene.cameras[frame]
    size = size_of(camera, long_px)
    owners = np.array(scene.owners)
    there = ~scene.see_through & (owners != photographer) & ~holding(scene, camera.eye)
    corners, solid_of = scene.triangles_of(there)
    first = first_in_picture(camera, size, corners - camera.eye, solid_of)
    pixels = {}
    for solid, count in zip(*np.unique(first[first >= 0], return_counts=True)):
        owner = scene.owners[solid]
        pixels[owner] = pixels.get(owner, 0) + int(count)

    people, things, crew = {}, {}, {}
    for owner, solids in scene.of_owner.items():
        parts = {scene.parts[solid] for solid in solids}
        if FIGURE not in parts:
            things |= {owner: pixels[owner]} if owner in pixels else {}
            continue
        if CAMERA in parts:
            crew |= {owner: pixels.get(owner, 0)} if owner != photographer else {}
            continue
        # Guests have places for names, and are not counted one by one.
        if "/" in owner:
            continue
        counts = lambda name: group(scene, camera, size, first, there, solids, GROUPS[name], owner in also)
        whole = counts("whole")
        if whole["in_frame_px"] > 0 or owner in also:
            people[owner] = {"whole": whole} | {name: counts(name) for name in GROUPS if name != "whole"}
    return {"width": size[0], "height": size[1], "people": people, "things": things, "crew": crew}


def group(scene, camera, size, first, there, solids, parts, also):
    """Counts of one group of parts; beside the picture only of those who are in it, or `also`."""
    chosen = np.zeros(len(scene.owners), bool)
    chosen[[solid for solid in solids if parts is None or scene.parts[solid] in parts]] = True
    chosen &= there
    counts = {"alone_px": 0, "in_frame_px": 0, "visible_px": 0, "covered_by": {}}
    corners, solid_of = scene.triangles_of(chosen)
    corners = corners - camera.eye
    round_them = rectangle(camera, size, corners)
    if round_them is None:
        return counts
    casts = Casts(corners, solid_of)
    left, top, right, bottom = round_them
    left_in, top_in, right_in, bottom_in = max(left, 0), max(top, 0), min(right, size[0]), min(bottom, size[1])
    if left_in < right_in and top_in < bottom_in:
        rays = towards(camera, size, left_in, top_in, right_in - left_in, bottom_in - top_in)
        before = first[top_in:bottom_in, left_in:right_in].reshape(-1)
        inside = casts.first(rays) >= 0
        own = chosen[before] & (before >= 0)
        counts["in_frame_px"] = int(inside.sum())
        counts["visible_px"] = int((inside & own).sum())
        for solid in before[inside & ~own & (before >= 0)]:
            owner = scene.owners[solid]
            counts["covered_by"][owner] = counts["covered_by"].get(owner, 0) + 1
    counts["alone_px"] = counts["in_frame_px"]
    sticks_out = (left, top, right, bottom) != (left_in, top_in, right_in, bottom_in)
    if sticks_out and (also or parts is not None or counts["in_frame_px"] > 0):
        counts["alone_px"] = max(alone_px(camera, casts, size, round_them), counts["in_frame_px"])
    return counts


def versions():
    from importlib.metadata import version

    packages = {name: version(name) for name in ("embreex", "numpy")}
    return {"python": platform.python_version(), **packages}


def main():
    arguments = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    arguments.add_argument("glb")
    arguments.add_argument("frame")
    arguments.add_argument("photographer")
    arguments.add_argument("--width", type=int, default=480)
    asked = arguments.parse_args()
    counts = seen(tableau.read(asked.glb), asked.frame, asked.photographer, asked.width)
    print(json.dumps({"frame": asked.frame, "versions": versions(), **counts}))


if __name__ == "__main__":
    main()
