"""Scores damaged at random: read, or refused with one error, and nothing else.

``python -m tests.score.damage 2000`` tries as many as it is told and prints what came of them.
"""

import random
import re
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from engrave.errors import EngraveError
from engrave.music.sheet import Moment
from engrave.music.units import Quarters
from engrave.score import cut, read_score
from tests.score.build import back, direction, document, grace, head, measure, note, packed
from tests.score.test_formats import ABC, KERN, WALTZ, mei

NUMBERS = (b"0", b"-1", b"999999999999", b"1e9", b"3.7", b"", b"x", b"nan", b"17", b"100000")

_FINGER = "<technical><fingering>3</fingering></technical>"
_BODY = (
    measure(
        1,
        direction('<wedge type="crescendo"/>'),
        grace("B4", notations='<slur type="start"/>'),
        note("C5", notations=f'<slur type="stop"/>{_FINGER}'),
        direction('<wedge type="stop"/>'),
        *(note("D5", "2/3", tuplet=(3, 2)) for _ in range(3)),
        note("E5", beam='<beam number="1">begin</beam>', tie="start"),
        back(4),
        note("C3", 2, voice=5, staff=2),
        note("E3", 2, voice=5, staff=2),
        note("G3", 2, voice=5, staff=2, chord=True),
        head=head(),
    ),
    measure(2, note("E5", 4, tie="stop"), back(4), note("C3", 4, voice=5, staff=1)),
)
SOUND = {
    ".musicxml": document(("Piano", "".join(_BODY))).encode(),
    ".mxl": packed({"score.xml": document(("Piano", "".join(_BODY))).encode()}),
    ".krn": KERN.encode(),
    ".mei": mei("5.0", WALTZ).encode(),
    ".abc": ABC.encode(),
}


def damaged(seed: int) -> tuple[str, bytes]:
    """The suffix of a format and a file of it, damaged once or twice."""
    chance = random.Random(seed)
    suffix = chance.choice(sorted(SOUND))
    data = SOUND[suffix]
    for _ in range(chance.choice((1, 1, 1, 2))):
        data = chance.choice(_WAYS)(chance, data)
    return suffix, data


def _place(chance: random.Random, data: bytes, width: int = 0) -> tuple[int, int]:
    start = chance.randrange(len(data) + 1)
    return start, start + chance.randrange(width + 1)


def _cut_off(chance: random.Random, data: bytes) -> bytes:
    return data[: _place(chance, data)[0]]


def _cut_out(chance: random.Random, data: bytes) -> bytes:
    start, end = _place(chance, data, 300)
    return data[:start] + data[end:]


def _splice(chance: random.Random, data: bytes) -> bytes:
    start, end = _place(chance, data, 800)
    place, _ = _place(chance, data)
    return data[:place] + data[start:end] + data[place:]


def _flip(chance: random.Random, data: bytes) -> bytes:
    flipped = bytearray(data)
    for _ in range(chance.randrange(1, 6) if flipped else 0):
        flipped[chance.randrange(len(flipped))] = chance.randrange(256)
    return bytes(flipped)


def _number(chance: random.Random, data: bytes) -> bytes:
    found = list(re.finditer(rb"\d+", data))
    if not found:
        return data
    place = chance.choice(found)
    return data[: place.start()] + chance.choice(NUMBERS) + data[place.end() :]


def _swap(chance: random.Random, data: bytes) -> bytes:
    """One element or token takes the place of another."""
    words = list(re.finditer(rb"<[^<>]+>|\S+", data))
    if len(words) < 2:
        return data
    one, other = chance.choice(words), chance.choice(words)
    return data[: one.start()] + other[0] + data[one.end() :]


def _recode(chance: random.Random, data: bytes) -> bytes:
    encoding = chance.choice(("utf-16", "cp500", "utf-7"))
    return data.decode("utf-8", "replace").encode(encoding, "replace")


_WAYS = (
    _cut_off,
    _cut_out,
    _splice,
    _flip,
    _number,
    _number,
    _number,
    _number,
    _swap,
    _swap,
    _recode,
)


def attempt(seed: int, folder: Path) -> str:
    """``read`` or the beginning of the error; any other exception is the caller's."""
    suffix, data = damaged(seed)
    path = folder / f"score{suffix}"
    path.write_bytes(data)
    try:
        score = read_score(path)
        bars = score.sheet.bars
        cut(score, Moment(0, Quarters(0)), Moment(len(bars) - 1, bars[-1].length))
    except EngraveError as error:
        return error.message.partition(":")[0].partition(".")[2][:40]
    return "read"


def main(count: int) -> None:
    """Try seeds from 0 on, and print how often what came of them."""
    came: Counter[str] = Counter()
    slowest = 0.0
    with tempfile.TemporaryDirectory() as folder:
        for seed in range(count):
            begun = time.perf_counter()
            try:
                came[attempt(seed, Path(folder))] += 1
            except Exception as error:
                came[f"seed {seed}: {error!r:.80}"] += 1
            slowest = max(slowest, time.perf_counter() - begun)
    for what, times in came.most_common():
        print(f"{times:6}  {what}")
    print(f"slowest {slowest:.1f} s")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
