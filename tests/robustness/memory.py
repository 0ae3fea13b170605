"""The memory that a build takes at most, all of its processes together, as the booklet grows.

``python -m tests.robustness.memory --passages 60,200 --everything`` makes marks for so many
passages of a study that goes on, builds them without a cache in a fresh process, and prints the
peak, the pages and the drills of each.
"""

import argparse
import sys
import tempfile
from pathlib import Path

from tests.bench.jobs import book
from tests.bench.measuring import peak_mb


def measured(folder: Path, passages: int, everything: bool) -> tuple[float, int, int]:
    """The peak in MB, and how many drills and pictures were made."""
    marks = book(folder, passages, 2 * passages + 2).marks
    if everything:
        asked = marks.read_text("utf-8").replace("hand: right,", "hand: right, drills: everything,")
        marks.write_text(asked, "utf-8")
    peak = peak_mb(["engrave", "build", marks, "--out", folder / "out", "--no-cache"], 0.1)
    made = folder / "out" / marks.stem / "drills"
    return peak, len(list(made.glob("*.musicxml"))), len(list(made.glob("*.svg")))


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--passages", default="15,60,200", help="how many, several with commas")
    parser.add_argument("--everything", action="store_true", help="all drills of every passage")
    options = parser.parse_args()
    for count in map(int, options.passages.split(",")):
        with tempfile.TemporaryDirectory() as name:
            peak, drills, pictures = measured(Path(name) / "book", count, options.everything)
        print(f"{count} passages, {drills} drills, {pictures} pictures: {peak:.0f} MB", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
