"""Against: two rhythms at once, first tapped on their common grid, then on the keys as written.

Enters: a passage for both hands. Leaves: ``step-1`` the composite to be tapped, ``step-2`` one key
a hand, ``step-3`` one meeting as written, repeated, ``step-4`` meeting after meeting as written.
"""

from dataclasses import dataclass, replace
from fractions import Fraction

from engrave.drills.against.composite import on_one_key, ordered, tapped
from engrave.drills.against.meeting import Meeting, meetings, principal
from engrave.drills.family import (
    Family,
    Made,
    Options,
    drill_of,
    meter_at,
    nothing_to_drill,
    option,
    source_note,
)
from engrave.drills.links import Link, laid
from engrave.drills.needs import Need, share
from engrave.drills.signs import EVERY
from engrave.marks.readers import list_of, value
from engrave.marks.scalars import whole
from engrave.music.drill import Drill, Ladder
from engrave.music.tempo import COMPOUND, SIMPLE
from engrave.music.units import Quarters
from engrave.passage.model import Passage
from engrave.remarks import Remark

STEPS = (1, 2, 3, 4)
MOST_NOTES = 9
"""Of a hand in a meeting that asks for the drill: more are a run, played freely over the others (a
judgement)."""

TIMES = 4
"""How often the one meeting is repeated in step 3."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AgainstOptions(Options):
    """Which steps: tapped, on one key a hand, one meeting, all of them."""

    steps: tuple[int, ...] = option(list_of(value(whole("a step", 1, 4))), STEPS)


def make(passage: Passage, options: AgainstOptions) -> Made:
    """The steps asked for; the last only where there are several meetings."""
    meets = meetings(passage)
    if not meets:
        raise nothing_to_drill(
            passage,
            "against",
            "nowhere do the hands divide a beat differently",
            "drop against from this passage's drills, or mark both hands",
        )
    one = principal(meets)
    makers = {
        1: lambda: _stretched(passage, options, one, 1),
        2: lambda: _stretched(passage, options, one, 2),
        3: lambda: _as_written(passage, options, [one] * TIMES, one, 3),
        4: lambda: _as_written(passage, options, list(meets), one, 4),
    }
    steps = [step for step in options.steps if step != 4 or len(meets) > 1]
    if not steps:
        raise nothing_to_drill(
            passage,
            "against",
            "the hands divide one beat differently, and step 4 needs several",
            "ask for step 3",
            options.place("steps"),
        )
    return Made(tuple(makers[step]() for step in sorted(steps)))


def need(passage: Passage) -> Need | None:
    """The beats in which the hands divide time differently, each into a few notes."""
    meets = [each for each in meetings(passage) if max(each.ratio) <= MOST_NOTES]
    if not meets:
        return None
    one = principal(meets)
    right, left = one.ratio
    why = Remark.of("why.against", right=right, left=left, measure=one.right[0].measure)
    return Need(share(passage, [(each.start, each.end) for each in meets]), 5, passage.hands, why)


def _told(one: Meeting, step: int) -> list[Remark]:
    right, left = one.ratio
    return [Remark.of(f"against.step-{step}", right=right, left=left)]


def _bar_in_clicks(one: Meeting, ladder: Ladder) -> Remark:
    """How long a bar of the stretched steps is, in clicks of the ladder where that is whole."""
    clicks = one.span / ladder.beat_unit
    if clicks.denominator == 1:
        return Remark.of("against.stretched", count=clicks.numerator)
    return Remark.of("against.stretched-freely")


def _common(passage: Passage, one: Meeting) -> tuple[Fraction, Quarters]:
    """The ladder's factor and beat: the stretch that both hands share, where it can be counted."""
    beat = one.span if one.span in (*SIMPLE, *COMPOUND) else passage.goal.beat
    return passage.goal.beat / beat, beat


def _stretched(passage: Passage, options: AgainstOptions, one: Meeting, step: int) -> Drill:
    factor, beat = _common(passage, one)
    sheet = tapped(one) if step == 1 else on_one_key(one)
    drill = drill_of(
        passage,
        options,
        ("against", f"step-{step}"),
        passage.hands,
        sheet,
        (source_note(one.of(hand)[number]) for hand, number in ordered(one)),
        factor=factor,
        beat=beat,
        counted_in=meter_at(passage, one.bar),
        worth=step - 1,
        remarks=_told(one, step),
        on_purpose=EVERY,
    )
    return replace(
        drill,
        remarks=(*drill.remarks, _bar_in_clicks(one, drill.ladder)),
        fingers="own",
        pitches="tapped" if step == 1 else "one-key",
        stretch=sheet.bars[0].length / one.span,
    )


def _as_written(
    passage: Passage, options: AgainstOptions, meets: list[Meeting], one: Meeting, step: int
) -> Drill:
    factor, beat = _common(passage, one)
    total = passage.sheet.length
    links = [
        Link(
            each.start,
            each.end,
            min(each.end + meter_at(passage, each.bar).beat, total),
            meter_at(passage, each.bar),
        )
        for each in meets
    ]
    sheet, onsets = laid(passage, links)
    return drill_of(
        passage,
        options,
        ("against", f"step-{step}"),
        passage.hands,
        sheet,
        map(source_note, onsets),
        factor=factor,
        beat=beat,
        worth=step - 1,
        remarks=_told(one, step),
    )


FAMILY = Family("against", make, AgainstOptions, need)
