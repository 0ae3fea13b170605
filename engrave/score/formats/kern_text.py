"""Kern as its reader takes it.

Enters: the text of a kern file. Leaves: the same music with plain line ends, a number for each
staff, and without measures whose lengths no reader can count: rests stand there, and the measures
are named. Knows no notes.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

_METER = re.compile(r"\*M(\d+)/(\d+)")
_BAR = re.compile(r"=+(\d*[a-z]?)")
_ODD = re.compile(r"\d+%(\d+)")
_ENDLESS = re.compile(r"\d{7,}|\.{5,}|([^\s\d.])\1{15,}|\S+(?: \S+){40,}")
"""Numbers, dots, repeated signs and chords that keep a reader busy for good."""
_STAFF = re.compile(r"\*staff(\d+)$")
_NEAR = re.compile(r"near line (\d+)")


@dataclass(frozen=True, slots=True)
class Legible:
    """A kern file's text as every reader takes it.

    ``unread`` names the measures in which rests stand now; ``staves`` has, where spines share one,
    the staff of each, from the highest spine down.
    """

    text: str
    unread: tuple[str, ...]
    staves: tuple[int, ...]


def legible(text: str) -> Legible:
    """The text with plain line ends, a number a staff, and rests in its odd measures."""
    text, staves = _with_own_staves(plain(text))
    unread = _odd_measures(text)
    for name in unread:
        text = without(text, name)
    return Legible(text, tuple(unread), staves)


def plain(text: str) -> str:
    """Line ends of every system as line feeds."""
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _with_own_staves(text: str) -> tuple[str, tuple[int, ...]]:
    """Where two spines claim one staff each gets a number; which belong together is told beside."""
    lines = text.split("\n")
    for place, line in enumerate(lines):
        tokens = line.split("\t")
        claimed = [match[1] for token in tokens if (match := _STAFF.match(token))]
        if len(set(claimed)) < len(claimed):
            free = iter(range(len(claimed), 0, -1))
            lines[place] = "\t".join(
                f"*staff{next(free)}" if _STAFF.match(token) else token for token in tokens
            )
            tops = sorted({int(number) for number in claimed})
            own = tuple(1 + tops.index(int(number)) for number in reversed(claimed))
            if len(tops) == 1:  # it tells nothing
                own = ()
            return "\n".join(lines), own
    return text, ()


def _odd_measures(text: str) -> list[str]:
    """The measures with lengths that no note value has, or with what no reader comes to an end of.

    Such a length is thirteen of a whole note's sevenths.
    """
    odd: dict[str, None] = {}
    for bar in _bars(text.split("\n")):
        for line in bar.lines:
            if not _is_data(line):
                continue
            if _ENDLESS.search(line) or not all(_is_value(int(n)) for n in _ODD.findall(line)):
                odd[bar.name] = None
    return list(odd)


def suspects(text: str, said: str) -> list[str]:
    """The measures of which a reader that stopped may have spoken, the likeliest first."""
    near = _NEAR.search(said)
    bars = list(_bars(text.split("\n")))
    at = int(near[1]) - 1 if near else 0
    place = next((n for n, bar in enumerate(bars) if bar.first <= at < bar.last), None)
    if place is None or sum(bool(bar.kinds) for bar in bars) < 2:
        return []
    return [bars[n].name for n in (place, place - 1) if n >= 0]


def without(text: str, name: str) -> str:
    """The text with rests in the first measure of that name."""
    lines = text.split("\n")
    for bar in _bars(lines):
        if bar.name == name:
            begun = False
            for place in range(bar.first, bar.last):
                if _is_data(lines[place]):
                    rests = "\t".join(_rest(bar.length, kind) for kind in bar.kinds[place])
                    lines[place] = "" if begun else rests
                    begun = True
            kept = [line for n, line in enumerate(lines) if line or not bar.first <= n < bar.last]
            return "\n".join(kept)
    return text


@dataclass(frozen=True, slots=True)
class _Bar:
    name: str
    first: int
    last: int
    lines: Sequence[str]
    length: Fraction
    kinds: dict[int, list[str]]
    """What the columns of a line hold, by the line's number."""


def _bars(lines: Sequence[str]) -> Iterator[_Bar]:
    """The stretches between bar lines; lengths by the meter, in whole notes."""
    name, first, length = "0", 0, Fraction(1)
    columns: list[str] = []
    kinds: dict[int, list[str]] = {}
    for place, line in enumerate([*lines, "="]):
        bar = _BAR.match(line)
        if bar:
            yield _Bar(name, first, place, lines[first:place], length, kinds)
            name, first, kinds = bar[1] or str(int(re.sub(r"\D", "", name) or 0) + 1), place, {}
        elif line.startswith("**"):
            columns = line.split("\t")
        elif line.startswith("*"):
            meter = _METER.search(line)
            length = Fraction(int(meter[1]), int(meter[2]) or 1) if meter else length
            columns = list(_moved(columns, line.split("\t")))
        elif _is_data(line):
            kinds[place] = columns


def _moved(columns: Sequence[str], tokens: Sequence[str]) -> Iterator[str]:
    """The columns after a line of splits and joins."""
    joined = False
    for kind, token in zip(columns, tokens, strict=False):
        if token == "*v" and joined:
            continue
        joined = token == "*v"
        if token != "*-":
            yield kind
        if token in ("*^", "*+"):
            yield kind


def _is_data(line: str) -> bool:
    return bool(line) and line[0] not in "!*="


def _is_value(count: int) -> bool:
    while count and count % 2 == 0:
        count //= 2
    return count in (1, 3, 7, 15)


def _rest(length: Fraction, kind: str) -> str:
    if kind != "**kern":
        return "."
    over = f"%{length.numerator}" if length.numerator > 1 else ""
    return f"{length.denominator}{over}r"
