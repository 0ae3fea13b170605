"""A practice plan: which passages on which day, for how many minutes, up to the performance.

Enters: passages by name, in the order of the booklet, dates, minutes a day, weekdays of rest.
Leaves: a ``Plan``. It never asks what day it is: without a stated beginning the rows are counted
back from the performance, and the student steps in at the row of the day. Knows no music.

Short sittings spread over days, with nights between, rest on moderate evidence (Simmons 2012, Allen
2013); mixing passages on mixed evidence (Abushanab and Bishara 2013, Carter and Grahn 2016, and the
meta-analyses of 2024).
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import cycle, islice

from engrave.errors import EngraveError

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
"""Names of the weekdays as the marks file writes them, in the order of ``date.weekday``."""

DEFAULT_DAYS = 28
"""Days of a plan of which no beginning is stated."""
LONGEST_SITTING = 20
"""Minutes; beyond that the day is divided. Common practice, no source."""
BLOCK = 8
"""Minutes that one passage gets at a time, about. Common practice, no source."""
LAST_DAYS = 3
"""Days of practice before the performance that belong to the whole piece."""

WHOLE = None
"""The name that stands in a block for the whole piece."""


@dataclass(frozen=True, slots=True)
class Block:
    """A passage (None: the whole piece) and its minutes."""

    passage: str | None
    minutes: int


@dataclass(frozen=True, slots=True)
class Day:
    """One row: the date, how many days before the performance, sittings; none on a day of rest."""

    date: date
    days_left: int
    sittings: tuple[tuple[Block, ...], ...] = ()

    @property
    def minutes(self) -> int:
        """All minutes of the day."""
        return sum(block.minutes for sitting in self.sittings for block in sitting)

    @property
    def top(self) -> str | None:
        """What the day begins with."""
        return self.sittings[0][0].passage if self.sittings else None


@dataclass(frozen=True, slots=True)
class Plan:
    """All days from the first to the eve of the performance, rest days among them."""

    performance: date
    days: tuple[Day, ...]


def plan(
    passages: Sequence[str],
    performance: date,
    minutes_a_day: int,
    begin: date | None = None,
    rest_days: Collection[str] = (),
) -> Plan:
    """Spread ``passages`` over the days before ``performance``.

    Begins on ``begin``, or four weeks before the performance where none is stated. Every day that
    is no rest day adds up to ``minutes_a_day``; no passage stands first on two days of practice
    running; the last three belong to the whole piece. Raises ``EngraveError`` when the performance
    is not after ``begin``.
    """
    if begin is not None and begin >= performance:
        raise EngraveError(
            f"the performance ({performance}) is not after the beginning ({begin})",
            hint="begin on an earlier day, or leave the beginning out",
        )
    if minutes_a_day < 1:
        raise EngraveError(f"{minutes_a_day} minutes a day are no practice", hint="at least 1")
    first = begin or performance - timedelta(days=DEFAULT_DAYS)
    dates = [first + timedelta(days=n) for n in range((performance - first).days)]
    practice = [day for day in dates if WEEKDAYS[day.weekday()] not in rest_days]
    last = practice[-LAST_DAYS:]
    rotation = _Rotation(passages if len(passages) > 1 else [*passages, WHOLE])
    beside = _Rotation(passages or [WHOLE])

    def sittings(day: date) -> tuple[tuple[Block, ...], ...]:
        if day in last:
            return _last_sittings(beside, minutes_a_day, eve=day == last[-1])
        return _sittings(rotation, minutes_a_day) if day in practice else ()

    days = tuple(Day(day, (performance - day).days, sittings(day)) for day in dates)
    return Plan(performance, days)


class _Rotation:
    """Deals names out: those longest unseen first, and never the same on top twice running."""

    def __init__(self, names: Sequence[str | None]) -> None:
        self._waiting = list(names)
        self._tops = dict.fromkeys(names, 0)
        self._last_top: str | None = None

    def take(self, count: int) -> list[str | None]:
        """``count`` names, coming round again where there are fewer."""
        chosen, waiting = self._waiting[:count], self._waiting[count:]
        fresh = [name for name in chosen if name != self._last_top] or chosen
        top = min(fresh, key=lambda name: self._tops[name])
        self._tops[top] += 1
        self._last_top = top
        self._waiting = waiting + chosen
        at = chosen.index(top)
        return list(islice(cycle(chosen[at:] + chosen[:at]), count))


def _sittings(rotation: _Rotation, minutes: int) -> tuple[tuple[Block, ...], ...]:
    lengths = _sitting_lengths(minutes)
    shares = [_shares(length, max(1, round(length / BLOCK))) for length in lengths]
    names = iter(rotation.take(sum(map(len, shares))))
    return tuple(tuple(Block(next(names), share) for share in sitting) for sitting in shares)


def _last_sittings(rotation: _Rotation, minutes: int, eve: bool) -> tuple[tuple[Block, ...], ...]:
    """The whole piece first, then one passage for a third of the sitting; on the eve it alone."""
    lengths = _sitting_lengths(minutes)
    if eve or minutes < LONGEST_SITTING // 2:
        return tuple((Block(WHOLE, length),) for length in lengths)
    names = rotation.take(len(lengths))
    return tuple(
        (Block(WHOLE, length - length // 3), Block(name, length // 3))
        for length, name in zip(lengths, names, strict=True)
    )


def _sitting_lengths(minutes: int) -> list[int]:
    return _shares(minutes, -(-minutes // LONGEST_SITTING))


def _shares(total: int, parts: int) -> list[int]:
    """``total`` in ``parts`` whole numbers as equal as can be, the larger ones first."""
    return [total // parts + (n < total % parts) for n in range(parts)]
