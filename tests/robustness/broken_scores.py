"""Scores as they should not be, with sound marks for them: the same for the same seed.

Most are a few measures of the demo, some all of it, with numbers changed, elements lost, doubled or
put elsewhere, bytes cut or flipped, packed or not; some are of the other formats.
"""

import random
import re
from pathlib import Path

from tests.robustness.broken_marks import Tree, asked
from tests.score.build import packed
from tests.score.damage import damaged

DEMO = Path(__file__).parents[2] / "scores" / "lantern-rondo.musicxml"
NUMBERS = (
    *(b"0", b"-1", b"1", b"2", b"3", b"4", b"5", b"7", b"17", b"64", b"128", b"999999999999"),
    *(b"1e9", b"3.7", b"", b"x", b"nan", b"inf", b" 4 ", b"4/4", b"9" * 5000, "\u0664".encode()),
)
_NUMBER = re.compile(rb">(-?\d+)<")
_ELEMENT = re.compile(rb"<(\w[\w-]*)[^>]*>[^<]*</\1>|<[\w-]+[^>]*/>")
_BLOCK = re.compile(rb"<(note|attributes|backup|forward|direction|barline)\b.*?</\1>", re.DOTALL)
_ATTRIBUTE = re.compile(rb'(\w+)="([^"]*)"')
_MEASURE = re.compile(rb"<measure .*?</measure>", re.DOTALL)


def broken_score(chance: random.Random) -> tuple[str, bytes, Tree]:
    """The name of a score file, its bytes, and marks for it."""
    if chance.random() < 0.1:
        suffix, data = damaged(chance.randrange(10**6))
        tree = asked(chance, 1, 2, "score")
        tree["score"] = f"score{suffix}"
        tree.setdefault("tempo", {"goal": 96})
        return tree["score"], data, tree
    data, first, last = _some_measures(DEMO.read_bytes(), chance)
    tree = asked(chance, first, last, "score")
    if chance.random() < 0.6:
        whole = {"measures": f"{first}-{last}", "hand": chance.choice(("right", "left", "both"))}
        tree = {"score": tree["score"], "passages": [whole]}
    for _ in range(chance.choice((1, 1, 2, 4))):
        data = chance.choice(_WAYS)(data, chance)
    if chance.random() < 0.1:
        data = packed({"score.xml": data})
        data = chance.choice((_flipped, _cut_out, _spliced, _cut_off))(data, chance)
    return "score.musicxml", data, tree


def _some_measures(data: bytes, chance: random.Random) -> tuple[bytes, int, int]:
    """The demo's first measure and a stretch of it; all of it in one of ten."""
    measures = list(_MEASURE.finditer(data))
    if chance.random() < 0.1:
        return data, 0, len(measures) - 1
    first = chance.randrange(1, len(measures) - 4)
    last = min(first + chance.randint(2, 6), len(measures) - 1)
    kept = data[: measures[0].end()] + data[measures[first].start() : measures[last].end()]
    return kept + data[measures[-1].end() :], first, last


def _number(data: bytes, chance: random.Random) -> bytes:
    return _replaced(data, _NUMBER, 1, chance.choice(NUMBERS), chance)


def _attribute(data: bytes, chance: random.Random) -> bytes:
    values = [each[2] for each in _ATTRIBUTE.finditer(data)] or [b""]
    return _replaced(data, _ATTRIBUTE, 2, chance.choice((*NUMBERS, chance.choice(values))), chance)


def _element(data: bytes, chance: random.Random) -> bytes:
    """An element lost, doubled, or put where another stood."""
    pattern = chance.choice((_ELEMENT, _ELEMENT, _BLOCK))
    found = [each[0] for each in pattern.finditer(data)] or [b""]
    one = chance.choice(found)
    return _replaced(data, pattern, 0, chance.choice((b"", one, one * 2)), chance)


def _put_in(data: bytes, chance: random.Random) -> bytes:
    found = [each[0] for each in _BLOCK.finditer(data)] or [b""]
    places = [each.end() for each in _BLOCK.finditer(data)] or [0]
    at = chance.choice(places)
    return data[:at] + chance.choice(found) * chance.choice((1, 1, 2, 40)) + data[at:]


def _replaced(
    data: bytes, pattern: re.Pattern[bytes], group: int, new: bytes, chance: random.Random
) -> bytes:
    found = list(pattern.finditer(data))
    if not found:
        return data
    place = chance.choice(found)
    return data[: place.start(group)] + new + data[place.end(group) :]


def _cut_off(data: bytes, chance: random.Random) -> bytes:
    return data[: chance.randrange(len(data) + 1)]


def _cut_out(data: bytes, chance: random.Random) -> bytes:
    start = chance.randrange(len(data) + 1)
    return data[:start] + data[start + chance.randrange(300) :]


def _spliced(data: bytes, chance: random.Random) -> bytes:
    start, other = (chance.randrange(len(data) + 1) for _ in range(2))
    return data[:start] + data[other : other + chance.randrange(600)] + data[start:]


def _flipped(data: bytes, chance: random.Random) -> bytes:
    flipped = bytearray(data)
    for _ in range(chance.randint(1, 4) if data else 0):
        flipped[chance.randrange(len(flipped))] = chance.randrange(256)
    return bytes(flipped)


def _recoded(data: bytes, chance: random.Random) -> bytes:
    encoding = chance.choice(("utf-16", "cp500", "utf-7", "utf-32"))
    return data.decode("utf-8", "replace").encode(encoding, "replace")


_WAYS = (
    *(_number,) * 16,
    *(_attribute,) * 4,
    *(_element,) * 10,
    *(_put_in,) * 4,
    *(_cut_off, _cut_out, _cut_out, _spliced, _spliced, _flipped, _recoded),
)
