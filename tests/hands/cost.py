"""What dividing a score between the hands costs, beside reading it.

``python -m tests.hands.cost [SCORE …]`` prints, for a score of 400 measures put together from a
work's own, the share that dividing has of reading; the ratio of two times of one run.
"""

import sys
import time
from dataclasses import replace
from pathlib import Path

from engrave.hands import divide
from engrave.score import read_score
from tests.works import corpus

MEASURES = 400
WORKS = (
    "joplin/maple_leaf_rag.mxl",
    "schumann_clara/polonaise_op1n1.mxl",
    "schumann_clara/opus17/movement3.xml",
    "weber/concertino_clarinet.mxl",
    "cpebach/h186.mxl",
)


def share(path: Path, times: int = 3) -> tuple[float, float]:
    """Seconds of reading a measure, and of dividing one, the best of some times, 400 at once."""
    reading = []
    for _ in range(times):
        start = time.perf_counter()
        score = read_score(path)
        reading.append(time.perf_counter() - start)
    bars = score.sheet.bars
    again = -(-MEASURES // len(bars))
    long = replace(score, sheet=replace(score.sheet, bars=(bars * again)[:MEASURES], spans=()))
    dividing = []
    for _ in range(times):
        start = time.perf_counter()
        divide(long)
        dividing.append(time.perf_counter() - start)
    return min(reading) / len(bars), min(dividing) / MEASURES


def main(names: list[str]) -> None:
    """Print a line a work."""
    for path in map(Path, names) if names else (corpus() / work for work in WORKS):
        reading, dividing = share(path)
        print(
            f"{path.name:<28} {MEASURES} measures: reading {MEASURES * reading:6.3f} s, "
            f"dividing {MEASURES * dividing:6.3f} s, {100 * dividing / reading:5.1f} %"
        )


if __name__ == "__main__":
    main(sys.argv[1:])
