"""Text on other ink, counted in pixels over the drills of builds.

``python -m tests.engraver.collisions OUTPUT/NAME …`` prints a line a picture that has any.
"""

import re
import sys
from pathlib import Path

from tests.engraver.raster import drawn, without


def shared(svg: bytes, width_mm: float, height_mm: float) -> int:
    """How many pixels fingers, labels and words share with notes, beams, slurs and wedges."""
    size = width_mm, height_mm
    text = drawn(without(svg, "path"), *size)
    return int((text & drawn(without(svg, "text"), *size)).sum())


def _size(svg: bytes) -> tuple[float, float]:
    found = re.search(rb'width="([\d.]+)mm" height="([\d.]+)mm"', svg)
    assert found
    return float(found[1]), float(found[2])


def main(folders: list[str]) -> None:
    """Look through all pictures of the builds."""
    pictures = [path for folder in folders for path in sorted(Path(folder).rglob("*.svg"))]
    for path in pictures:
        svg = path.read_bytes()
        if number := shared(svg, *_size(svg)):
            print(f"{number:6} pixels  {path}")
    print(f"{len(pictures)} pictures looked at")


if __name__ == "__main__":
    main(sys.argv[1:])
