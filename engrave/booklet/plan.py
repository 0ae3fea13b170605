"""A practice plan: which passages and drills on which day, for how many minutes, up to the day.

Enters: passages with what they need, in the order of the booklet, dates, minutes a day, weekdays of
rest. Leaves: a ``Plan``. It never asks what day it is: without a stated beginning the rows are
counted back from the performance, and the student steps in at the row of the day. Knows no music.

What is new or stuck comes every day, though a day's last slot is the others'; what is on its way
every second; what goes well after two days of practice, then four, then eight; what is done once
more before the performance. Run-throughs grow from three weeks before. Short sittings spread over
days, with nights between, rest on moderate evidence (Simmons 2012, Allen 2013); mixing passages on
mixed evidence (Abushanab and Bishara 2013, Carter and Grahn 2016, and the meta-analyses of 2024).
The gaps themselves are common practice, no source.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from engrave.booklet.need import Due, PassageNeed
from engrave.errors import EngraveError

DEFAULT_DAYS = 28
"""Days of a plan of which no beginning is stated."""
LONGEST_SITTING = 20
"""Minutes; beyond that the day is divided. Common practice, no source."""
SLOT_MINUTES = 8
"""Minutes that one passage gets at a time, about. Common practice, no source."""
LAST_DAYS = 3
"""Days of practice before the performance that belong to the whole piece."""

RUN_THROUGH_DAYS = 21
"""From so many days before on, run-throughs grow, up to half of the minutes."""
DRILL_MINUTES = 4
"""Minutes that one drill gets at a time, about. Common practice, no source."""
NEW_TIMES = 6
"""How often what is new comes day by day; then it is on its way like others."""
LONGEST_GAP = 16
"""Days of practice after which also what goes well comes again."""

WHOLE = None
"""What stands in a slot for the whole piece."""


@dataclass(frozen=True, slots=True)
class Slot:
    """A passage (None: the whole piece), its minutes, and the drills to take of it."""

    passage: str | None
    minutes: int
    drills: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Day:
    """One row: the date, how many days before the performance, sittings; none on a day of rest."""

    date: date
    days_left: int
    sittings: tuple[tuple[Slot, ...], ...] = ()

    @property
    def minutes(self) -> int:
        """All minutes of the day."""
        return sum(slot.minutes for sitting in self.sittings for slot in sitting)

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
    passages: Sequence[PassageNeed],
    performance: date,
    minutes_a_day: int,
    begin: date | None = None,
    rest_days: Collection[int] = (),
) -> Plan:
    """Deal ``passages`` out over the days before ``performance``, by need.

    Begins on ``begin``, or four weeks before the performance where none is stated; ``rest_days`` as
    ``date.weekday`` counts. Every day that is no rest day adds up to ``minutes_a_day``; no passage
    stands first on two days of practice running; the last three belong to the whole piece. Raises
    ``EngraveError`` when the performance is not after ``begin``.
    """
    _refuse_no_time(begin, performance, minutes_a_day)
    first = begin or performance - timedelta(days=DEFAULT_DAYS)
    dates = [first + timedelta(days=n) for n in range((performance - first).days)]
    practice = [day for day in dates if day.weekday() not in rest_days]
    last = practice[-LAST_DAYS:]
    dealer = _Dealer(passages, len(practice) - len(last))
    run_throughs = 0.0
    days = []
    for day in dates:
        left = (performance - day).days
        sittings: tuple[tuple[Slot, ...], ...] = ()
        if day in last:
            sittings = _last_sittings(dealer, minutes_a_day, eve=day == last[-1])
        elif day in practice:
            slots = sum(len(each) for each in _slots(minutes_a_day))
            run_throughs += slots * _whole_share(left)
            whole = min(int(run_throughs), slots - 1)
            run_throughs -= whole
            sittings = _sittings(dealer, minutes_a_day, whole)
        days.append(Day(day, left, sittings))
    return Plan(performance, tuple(days))


def _refuse_no_time(begin: date | None, performance: date, minutes_a_day: int) -> None:
    if begin is not None and begin >= performance:
        raise EngraveError(
            f"the performance ({performance}) is not after the beginning ({begin})",
            hint="begin on an earlier day, or leave the beginning out",
        )
    if minutes_a_day < 1:
        raise EngraveError(f"{minutes_a_day} minutes a day are no practice", hint="at least 1")


def _whole_share(days_left: int) -> float:
    """How much of a day is the whole piece's, so many days before the performance."""
    return 0.5 * max(0.0, 1 - (days_left - LAST_DAYS) / (RUN_THROUGH_DAYS - LAST_DAYS))


@dataclass(slots=True)
class _Waiting:
    """A passage in the dealer's hands: when it is due, in days of practice, and after what gap."""

    item: PassageNeed
    place: int
    due: int
    gap: int
    times: int = 0
    tops: int = 0
    seen: int = -1
    drill: int = 0

    @property
    def is_daily(self) -> bool:
        """Whether it is to come every day: it is new or stuck, and has not come often yet."""
        return self.item.need is Due.OFTEN and self.times < NEW_TIMES

    @property
    def urgency(self) -> tuple[int, int, int, int]:
        """What sorts those that wait: the longest due first, then the neediest."""
        return self.due, self.item.need, self.seen, self.place


@dataclass(slots=True)
class _Dealer:
    """Deals passages out day by day, each when it is due, and never one on top twice running."""

    items: Sequence[PassageNeed]
    days: int
    waiting: list[_Waiting] = field(init=False)
    today: int = 0
    last_top: str | None = None

    def __post_init__(self) -> None:
        gaps = {
            Due.OFTEN: 1,
            Due.STEADY: 2,
            Due.WELL: 2,
            Due.DONE: self.days + 1,
        }
        self.waiting = [
            _Waiting(item, place, self._first_due(item), gaps[item.need])
            for place, item in enumerate(self.items)
        ]

    def _first_due(self, item: PassageNeed) -> int:
        """At once; what goes well on the second day, what is done some days before the last."""
        if item.need is Due.DONE:
            return max(0, self.days - 5)
        return int(item.need is Due.WELL)

    def take(self, count: int) -> list[_Waiting | None]:
        """The passages of one day, ``count`` of them; None is the whole piece."""
        due = sorted(
            (each for each in self.waiting if each.due <= self.today), key=lambda e: e.urgency
        )
        daily = [each for each in due if each.is_daily][: count - 1]
        chosen = [*daily, *(each for each in due if each not in daily)][:count]
        if count == 1 and len(due) > 1 and due[0].item.passage == self.last_top:
            chosen = due[1:2]
        others = [each for each in self.waiting if each not in chosen]
        able = sorted(
            (each for each in others if each.item.need < Due.DONE),
            key=lambda e: (e.item.need, e.urgency),
        )
        chosen += able[: count - len(chosen)]
        if able and [each.item.passage for each in chosen] == [self.last_top]:
            chosen = able[:1]  # no passage stands first on two days running
        for each in chosen:
            self._count(each)
        self.today += 1
        return self._in_order(chosen, count)

    def _count(self, each: _Waiting) -> None:
        each.times += 1
        each.seen = self.today
        if each.item.need is Due.OFTEN and not each.is_daily:
            each.gap = 2
        each.due = self.today + each.gap
        if each.item.need is Due.WELL:
            each.gap = min(2 * each.gap, LONGEST_GAP)

    def _in_order(self, chosen: list[_Waiting], count: int) -> list[_Waiting | None]:
        """Another on top than yesterday; the whole piece between, where one would follow itself."""
        fresh = [each for each in chosen if each.item.passage != self.last_top]
        if not fresh:
            self.last_top = None
            rest: list[_Waiting | None] = [*chosen] if count > len(chosen) else []
            return _filled([None, *rest], count)
        top = min(fresh, key=lambda each: (each.tops, each.item.need, each.place))
        top.tops += 1
        self.last_top = top.item.passage
        at = chosen.index(top)
        order: list[_Waiting | None] = [*chosen[at:], *chosen[:at]]
        return _filled([*order, None] if len(order) == 1 and count > 1 else order, count)

    def slot(self, each: _Waiting | None, minutes: int) -> Slot:
        """A slot of ``minutes``, with the drills whose turn it is."""
        if each is None:
            return Slot(WHOLE, minutes)
        drills = each.item.drills
        number = min(len(drills), max(1, round(minutes / DRILL_MINUTES)))
        named = [drills[(each.drill + n) % len(drills)] for n in range(number)]
        each.drill += number
        return Slot(each.item.passage, minutes, tuple(named))


def _filled(order: list[_Waiting | None], count: int) -> list[_Waiting | None]:
    """``order`` again and again, up to ``count``."""
    return [order[n % len(order)] for n in range(count)]


def _sittings(dealer: _Dealer, minutes: int, whole: int) -> tuple[tuple[Slot, ...], ...]:
    """A day's sittings, the last ``whole`` slots of them the whole piece."""
    shares = _slots(minutes)
    count = sum(map(len, shares))
    dealt = [*dealer.take(count - whole), *([None] * whole)]
    names = iter(dealt)
    return tuple(
        tuple(_joined([dealer.slot(next(names), share) for share in sitting])) for sitting in shares
    )


def _joined(slots: Sequence[Slot]) -> list[Slot]:
    """Two slots of the whole piece on end are one."""
    found: list[Slot] = []
    for slot in slots:
        if found and slot.passage is WHOLE and found[-1].passage is WHOLE:
            found[-1] = Slot(WHOLE, found[-1].minutes + slot.minutes)
        else:
            found.append(slot)
    return found


def _last_sittings(dealer: _Dealer, minutes: int, eve: bool) -> tuple[tuple[Slot, ...], ...]:
    """The whole piece first, then one passage for a third of the sitting; on the eve it alone."""
    lengths = _sitting_lengths(minutes)
    if eve or minutes < LONGEST_SITTING // 2 or not dealer.items:
        return tuple((Slot(WHOLE, length),) for length in lengths)
    dealer.last_top = None
    return tuple(
        (Slot(WHOLE, length - length // 3), dealer.slot(each, length // 3))
        for length, each in zip(lengths, dealer.take(len(lengths)), strict=True)
    )


def _slots(minutes: int) -> list[list[int]]:
    """The minutes of every slot, sitting by sitting."""
    return [_shares(each, max(1, round(each / SLOT_MINUTES))) for each in _sitting_lengths(minutes)]


def _sitting_lengths(minutes: int) -> list[int]:
    return _shares(minutes, -(-minutes // LONGEST_SITTING))


def _shares(total: int, parts: int) -> list[int]:
    """``total`` in ``parts`` whole numbers as equal as can be, the larger ones first."""
    return [total // parts + (n < total % parts) for n in range(parts)]
