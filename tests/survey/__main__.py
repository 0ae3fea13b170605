"""``python -m tests.survey``: how long a survey takes beyond reading, and how that grows.

A study of 50 to 800 measures, sixteenths over chords in eighths and never twice the same measure;
then real works. Processor seconds, so that what else runs on the machine does not count.
"""

import random
import time
from collections.abc import Callable
from math import log

from engrave.music.sheet import Bar
from engrave.score import Score, read_score
from engrave.survey import survey
from tests.sheets import bar
from tests.survey.pieces import score
from tests.works import SWEPT

MEASURES = (50, 100, 200, 400, 800)
LONGEST_SECONDS = 5.0


def study(measures: int) -> Score:
    """Sixteen notes in the right hand and eight chords of three in the left, in every measure."""
    dice = random.Random(7)
    return score([_measure(number, dice) for number in range(1, measures + 1)])


def _measure(number: int, dice: random.Random) -> Bar:
    place, upper = dice.randrange(7), []
    for _ in range(16):
        place = min(max(place + dice.choice((-2, -1, 1, 2)), 0), 13)
        upper.append(f"{'CDEFGAB'[place % 7]}{4 + place // 7}:16")
    roots = [dice.randrange(7) for _ in range(8)]
    lower = [",".join(f"{'CDEFGAB'[(r + k) % 7]}{2 + (r + k) // 7}" for k in (0, 2, 4)) + ":8"
             for r in roots]  # fmt: skip
    return bar(" ".join(upper), " ".join(lower), meter="4/4", name=str(number))


def seconds(run: Callable[[], object]) -> float:
    """Processor seconds of the better of two runs."""
    taken = []
    for _ in range(2):
        before = time.process_time()
        run()
        taken.append(time.process_time() - before)
    return min(taken)


def main() -> int:
    """Print the table; the exit code says whether 400 measures keep to their time."""
    found = {}
    for measures in MEASURES:
        piece = study(measures)
        found[measures] = seconds(lambda piece=piece: survey(piece))  # type: ignore[misc]
        print(f"study of {measures:4} measures: {found[measures]:6.2f} s")
    growth = log(found[800] / found[100]) / log(8)
    print(f"growth from 100 to 800 measures: length to the power {growth:.2f}")
    for work in SWEPT:
        piece = read_score(work.score)
        bars = len(piece.sheet.bars)
        taken = seconds(lambda piece=piece: survey(piece))  # type: ignore[misc]
        print(f"{work.name}, {bars} bars: {taken:.2f} s")
    return 0 if found[400] < LONGEST_SECONDS else 1


if __name__ == "__main__":
    raise SystemExit(main())
