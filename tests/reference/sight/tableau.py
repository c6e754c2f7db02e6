"""Reads the .glb that `standpoint tableau` writes: the triangles of every solid in the world, and the cameras.

Own reader of the few things that such a file has (glTF 2.0, sections 3.6, 3.7, 3.10): no index buffers, no node hierarchy.
"""

import json
import struct
from dataclasses import dataclass, field

import numpy as np

FLOAT = 5126


@dataclass
class Camera:
    """Pose in the world and size of the picture's plane; looks along its own -z with +y up."""

    eye: np.ndarray
    axes: np.ndarray  # columns: right, up, back
    yfov: float
    aspect: float

    def half(self):
        """Half width and half height of the picture's plane at one metre."""
        high = np.tan(self.yfov / 2)
        return high * self.aspect, high


@dataclass
class Tableau:
    """Triangles in metres, float64, (n, 3, 3), in the file's order, and of each the number of its solid."""

    triangles: np.ndarray
    solid_of: np.ndarray
    owners: list  # by solid
    parts: list  # by solid
    see_through: np.ndarray  # by solid
    cameras: dict
    at_s: float
    of_owner: dict = field(default_factory=dict)  # solids of each owner

    def triangles_of(self, chosen):
        """Those of the solids for which `chosen` (bool by solid) is true: triangles and solids."""
        keep = chosen[self.solid_of]
        return self.triangles[keep], self.solid_of[keep]


def rotation(quaternion):
    x, y, z, w = np.asarray(quaternion, float) / np.linalg.norm(quaternion)
    return np.array(
        [
            [1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w)],
            [2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w)],
            [2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y)],
        ]
    )


def read(path):
    data = open(path, "rb").read()
    magic, version, _ = struct.unpack_from("<4sII", data)
    assert magic == b"glTF" and version == 2, f"{path} is no glTF 2.0 binary"
    json_bytes, kind = struct.unpack_from("<I4s", data, 12)
    assert kind == b"JSON"
    scene = json.loads(data[20 : 20 + json_bytes])
    binary = memoryview(data)[20 + json_bytes + 8 :]

    def corners(accessor):
        accessor = scene["accessors"][accessor]
        view = scene["bufferViews"][accessor["bufferView"]]
        assert accessor["componentType"] == FLOAT and view.get("byteStride", 12) == 12
        start = view.get("byteOffset", 0) + accessor.get("byteOffset", 0)
        flat = np.frombuffer(binary, "<f4", accessor["count"] * 3, start)
        return flat.reshape(-1, 3).astype(float)

    meshes = []
    for mesh in scene["meshes"]:
        parts = mesh["primitives"]
        assert len(parts) == 1 and "indices" not in parts[0], "one plain list of triangles a mesh"
        clear = scene["materials"][parts[0]["material"]].get("alphaMode") == "BLEND"
        meshes.append((parts[0]["attributes"]["POSITION"], clear))
    shapes = {accessor: corners(accessor) for accessor in {accessor for accessor, _ in meshes}}

    triangles, counts, owners, parts, see_through, cameras = [], [], [], [], [], {}
    for node in scene["nodes"]:
        owner, part = node["name"].rsplit("/", 1)
        turned, at = rotation(node.get("rotation", [0, 0, 0, 1])), np.array(node.get("translation", [0, 0, 0]), float)
        if "camera" in node:
            lens = scene["cameras"][node["camera"]]["perspective"]
            cameras[node["name"].removeprefix("frame/")] = Camera(at, turned, lens["yfov"], lens["aspectRatio"])
            continue
        accessor, clear = meshes[node["mesh"]]
        world = (shapes[accessor] * node.get("scale", [1, 1, 1])) @ turned.T + at
        triangles.append(world.reshape(-1, 3, 3))
        counts.append(len(world) // 3)
        owners.append(owner)
        parts.append(part.split("#")[0])
        see_through.append(clear)
    of_owner = {}
    for solid, owner in enumerate(owners):
        of_owner.setdefault(owner, []).append(solid)
    return Tableau(
        np.concatenate(triangles),
        np.repeat(np.arange(len(counts)), counts),
        owners,
        parts,
        np.array(see_through),
        cameras,
        scene["asset"]["extras"]["at_s"],
        of_owner,
    )
