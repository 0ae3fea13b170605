"""How loud: the dynamics in force, the wedges between them, accents.

Enters: a ``Sheet``. Leaves: MIDI velocities. Signs of one staff hold for both where the other has
none; two staves with signs of their own each follow theirs.
"""

from bisect import bisect_right
from fractions import Fraction
from typing import TypeVar

from engrave.music.notes import Hand
from engrave.music.sheet import Sheet
from engrave.music.units import Quarters

_LEVELS = {
    "pppp": 20, "ppp": 28, "pp": 38, "p": 50, "mp": 62, "mf": 74, "f": 88, "ff": 104, "fff": 116,
    "ffff": 124,
}  # fmt: skip
_IN_THE_END = {"fp": "p", "pf": "f", "sfp": "p", "sfpp": "pp"}
LEVELS = _LEVELS | {sign: _LEVELS[level] for sign, level in _IN_THE_END.items()}
"""Velocities of what holds on (common practice, no source)."""

ACCENTS = {"accent": 12, "strong-accent": 18}
SUDDEN = frozenset({"sf", "sfz", "sffz", "fz", "rf", "rfz", "fp", "sfp", "sfpp"})
_SUDDENLY = Fraction(100)
_WEDGE = 14
"""How far a wedge goes that leads to no sign."""


_T = TypeVar("_T")


def _own(table: dict[int, _T], staff: int) -> _T | None:
    return table.get(staff, next(iter(table.values()), None))


class Loudness:
    """The loudness of each hand at any time."""

    def __init__(self, sheet: Sheet) -> None:
        self._levels: dict[int, list[tuple[Quarters, int]]] = {}
        self._sudden: dict[int, set[Quarters]] = {}
        self._wedges: dict[int, list[tuple[Quarters, Quarters, int]]] = {}
        starts = sheet.starts
        for start, bar in zip(starts, sheet.bars, strict=True):
            for sign in bar.directions:
                if sign.kind != "dynamic":
                    continue
                if sign.text in SUDDEN:
                    self._sudden.setdefault(sign.staff, set()).add(start + sign.offset)
                if sign.text in LEVELS:
                    levels = self._levels.setdefault(sign.staff, [])
                    levels.append((start + sign.offset, LEVELS[sign.text]))
        for span in sheet.spans:
            if span.kind in ("crescendo", "diminuendo"):
                begin = starts[span.start.bar] + span.start.offset
                end = starts[span.end.bar] + span.end.offset
                way = _WEDGE if span.kind == "crescendo" else -_WEDGE
                self._wedges.setdefault(span.staff, []).append((begin, end, way))
        for levels in self._levels.values():
            levels.sort()
        for wedges in self._wedges.values():
            wedges.sort()

    def of(self, time: Quarters, hand: Hand, articulations: tuple[str, ...]) -> int:
        """The velocity of what ``hand`` strikes at ``time``."""
        staff = hand.staff
        level = self._level(_own(self._levels, staff), _own(self._wedges, staff), time)
        if time in (_own(self._sudden, staff) or set()):
            level = max(level, _SUDDENLY)
        level += max((ACCENTS.get(name, 0) for name in articulations), default=0)
        return max(1, min(127, round(level)))

    @staticmethod
    def _level(
        levels: list[tuple[Quarters, int]] | None,
        wedges: list[tuple[Quarters, Quarters, int]] | None,
        time: Quarters,
    ) -> Fraction:
        signs = levels or []
        index = bisect_right([when for when, _ in signs], time)
        since, level = signs[index - 1] if index else (Fraction(-99), LEVELS["mf"])
        found = Fraction(level)
        for begin, end, way in wedges or []:
            if not since <= begin < time:
                continue
            after = signs[index] if index < len(signs) else None
            leads = after is not None and after[0] <= end + 1 and (after[1] - found) * way > 0
            goal = Fraction(after[1]) if after and leads else found + way
            part = (time - begin) / (end - begin) if end > time else Fraction(1)
            found += (goal - found) * part
        return found
