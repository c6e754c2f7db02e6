"""Times Embree on given rays: `rays.py TABLEAU.glb RAYS`, JSON on stdout.

RAYS holds six 32-bit floats a ray, little-endian: origin and unit direction. One scene of all triangles of the file, built
before the clock starts; the call for the first hits alone is timed, on one thread, and the median of five is told.
"""

import json
import statistics
import sys
import time

import numpy as np
from embreex.mesh_construction import TriangleMesh
from embreex.rtcore_scene import EmbreeScene

import tableau
import visibility

TIMES = 5


def main():
    glb, rays = sys.argv[1:]
    triangles = tableau.read(glb).triangles.astype(np.float32)
    rays = np.fromfile(rays, "<f4").reshape(-1, 6)
    origins, directions = (np.ascontiguousarray(half) for half in (rays[:, :3], rays[:, 3:]))
    scene = EmbreeScene()
    TriangleMesh(scene, triangles)
    # The first call builds.
    hits = scene.run(origins, directions)
    took_s = []
    for _ in range(TIMES):
        start_s = time.perf_counter()
        scene.run(origins, directions)
        took_s.append(time.perf_counter() - start_s)
    told = {
        "rays_per_s": len(rays) / statistics.median(took_s),
        "hits": int((hits >= 0).sum()),
        "triangles": len(triangles),
        "versions": visibility.versions(),
    }
    print(json.dumps(told))


if __name__ == "__main__":
    main()
