"""Counts of every frame of the demo plans by Embree: `all_demos.py STANDPOINT [--check]`, with the program's binary.

Counts anew, holds the program's own `sight` and <demo>.json beside this file against that, prints the worst and fails if a
count is off by more than 3 pixels and 1 %, or what is left of a group by more than 0.01 of it (or one pixel, where that is
more). Without `--check` writes <demo>.json first.
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile
from multiprocessing import Pool
from pathlib import Path

import tableau
import visibility

HERE = Path(__file__).resolve().parent
SCENES = HERE.parents[2] / "scenes"
DEMOS = ("orchard", "chapel", "loft")
WIDTH = 480
# Groups of fewer pixels than this, alone, are not kept.
FEWEST_PX = 20
# The program tells instants to a thousandth of a second. Where a walk decides the instant, we get everybody up to 0.7 mm from
# where they were counted, a seventh of a pixel of a face of 1700: there the program's counts may be twice as far off.
ROUNDED = 2


def counts_of(task):
    """One frame of a demo, by Embree; of everybody in it and of those whom the program lists."""
    binary, demo, frame = task
    with tempfile.TemporaryDirectory() as folder:
        glb = Path(folder) / "tableau.glb"
        at = f"+{frame['at_s']}"
        subprocess.run([binary, "-q", "tableau", SCENES / f"{demo}.ron", "--at", at, "--out", glb], check=True)
        scene = tableau.read(glb)
    also = {person["id"] for person in frame["people"]}
    counts = visibility.seen(scene, frame["id"], frame["photographer"], WIDTH, also)
    people = {
        person: {name: group for name, group in sorted(groups.items()) if group["alone_px"] >= FEWEST_PX}
        for person, groups in counts["people"].items()
    }
    keep = {person: groups for person, groups in people.items() if groups}
    return {"id": frame["id"], **counts, "people": keep}


def program_counts(binary, demo):
    """`standpoint sight`."""
    command = [binary, "-q", "sight", SCENES / f"{demo}.ron", "--width", str(WIDTH)]
    return json.loads(subprocess.run(command, check=True, capture_output=True).stdout)["frames"]


def in_our_shape(frame):
    """A frame of the program's file, as this folder keeps frames."""
    return {
        "width": frame["width"],
        "height": frame["height"],
        "people": {person["id"]: person["parts"] for person in frame["people"]},
        "things": {thing["id"]: thing["visible_px"] for thing in frame["things"]},
        "crew": frame["crew_in_frame"],
    }


class Comparison:
    """Worst difference so far, in units of what is allowed, and all that are too large."""

    def __init__(self, name):
        self.name, self.worst, self.counts, self.wrong = name, (0.0, "nothing differs"), 0, []
        self.slack = 1

    def number(self, where, expected, actual, allowed):
        self.counts += 1
        off = abs(actual - expected) / (allowed * self.slack)
        said = f"{where}: expected {expected:g}, actual {actual:g}"
        if off > self.worst[0]:
            self.worst = (off, said)
        if off > 1:
            self.wrong.append(said)

    def count(self, where, expected, actual):
        self.number(where, expected, actual, max(3, expected * 0.01))

    def group(self, where, expected, actual):
        for key in ("alone_px", "in_frame_px", "visible_px"):
            self.count(f"{where} {key}", expected[key], actual[key])
        for owner in expected["covered_by"].keys() | actual["covered_by"].keys():
            sides = (side["covered_by"].get(owner, 0) for side in (expected, actual))
            self.count(f"{where} covered_by {owner}", *sides)
        if expected["in_frame_px"] > 0:
            shares = (side["visible_px"] / max(1, side["in_frame_px"]) for side in (expected, actual))
            self.number(f"{where} visible of in frame", *shares, max(0.01, 1 / expected["in_frame_px"]))

    def frame(self, where, expected, actual):
        for side in ("width", "height"):
            self.number(f"{where} {side}", expected[side], actual[side], 0.5)
        nobody = {"alone_px": 0, "in_frame_px": 0, "visible_px": 0, "covered_by": {}}
        for person, groups in expected["people"].items():
            for name, group in groups.items():
                self.group(f"{where} {person} {name}", group, actual["people"].get(person, {}).get(name, nobody))
        for person in actual["people"].keys() - expected["people"].keys():
            self.count(f"{where} {person} whole", 0, actual["people"][person].get("whole", nobody)["in_frame_px"])
        for kind in ("things", "crew"):
            for owner in expected[kind].keys() | actual[kind].keys():
                self.count(f"{where} {kind} {owner}", expected[kind].get(owner, 0), actual[kind].get(owner, 0))

    def report(self):
        off, said = self.worst
        print(f"{self.name}: {self.counts} numbers, {len(self.wrong)} off; worst {off:.0%} of what is allowed: {said}", flush=True)
        for one in self.wrong[:40]:
            print(f"  {one}")
        return not self.wrong


def main():
    arguments = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    arguments.add_argument("binary", type=Path)
    arguments.add_argument("--check", action="store_true")
    asked = arguments.parse_args()
    binary = asked.binary.resolve()
    right = True
    with Pool(os.cpu_count()) as pool:
        for demo in DEMOS:
            program = program_counts(binary, demo)
            ours = pool.map(counts_of, [(binary, demo, frame) for frame in program], chunksize=1)
            golden = HERE / f"{demo}.json"
            if not asked.check:
                write(golden, ours)
            kept = json.loads(golden.read_text())["frames"]
            for name, others in (("program", [in_our_shape(frame) for frame in program]), ("file", kept)):
                comparison = Comparison(f"{demo}, {name} against Embree")
                comparison.number("frames", len(ours), len(others), 0.5)
                for frame, told, other in zip(ours, program, others):
                    comparison.slack = ROUNDED if name == "program" and told["at_s"] * 10 % 1 else 1
                    comparison.frame(f"{demo} {frame['id']}", frame, other)
                right &= comparison.report()
    sys.exit(0 if right else 1)


def write(path, frames):
    """A frame a line, so that a diff shows which have changed."""
    lines = ",\n".join(json.dumps(frame, separators=(",", ":")) for frame in frames)
    head = json.dumps({"versions": visibility.versions(), "width": WIDTH}, separators=(",", ":"))
    path.write_text(f'{head[:-1]},"frames":[\n{lines}\n]}}\n')


if __name__ == "__main__":
    main()
