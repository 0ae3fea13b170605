"""Leaps: from the bass note to one note of the chord, to two, to all, with a wait and in time.

Enters: a passage whose onsets have their fingers. Leaves: a drill a step and hand. ``steps`` knows
what each step plays, ``rounds`` when, ``places`` which leaps the teacher names, ``figures`` what
is said of them.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import cycle, islice, pairwise

from engrave.drills.barring import Written, bar_up
from engrave.drills.family import (
    Family,
    Made,
    drill_of,
    key_at,
    nothing_to_drill,
    source_note,
)
from engrave.drills.leaps.figures import leap_figures, remarks
from engrave.drills.leaps.options import LeapOptions
from engrave.drills.leaps.places import named, suggestion
from engrave.drills.leaps.rounds import (
    SHORTEST,
    Ends,
    Excerpt,
    Round,
    excerpts_of,
    filling,
    in_time,
    with_waits,
)
from engrave.drills.leaps.steps import Step, steps_of
from engrave.drills.needs import Need, moments, seconds, share
from engrave.music.drill import Drill
from engrave.music.notes import Hand, Pitch
from engrave.music.sheet import Direction, Sheet
from engrave.music.units import Quarters
from engrave.music.values import UnprintableError
from engrave.passage.leaps import Leap, leaps
from engrave.passage.model import Passage
from engrave.remarks import Remark

ROUND_SIGNS = ("I", "II")
WORST_SIGN = "!"

TIME_TO_SPARE = 1.5
"""Seconds in which anybody gets anywhere (a judgement)."""

LONE_LETTERS, LONE_LOAD = 7, 10.0
"""White keys of an octave, and bits a second: one leap alone is trouble enough from the first on
where it has the second, and beyond the first where it is not calm."""

CALM_LOAD = 5.0
"""Bits a second up to which there is time for one leap, however far (judged over pages)."""

WORTH = {1: 0, 2: 1, 4: 2, 3: 3}
WORTH_ALONE = {1: 0, 4: 2, 2: 4, 3: 5}
"""Which step is the first to stay, and which to go: of a single leap those between go first."""


def make(passage: Passage, options: LeapOptions) -> Made:
    """Every step for every marked hand that leaps; of steps that come out alike the first."""
    drills: list[Drill] = []
    refused: list[Remark] = []
    places = named(passage, options)
    for hand in passage.hands:
        hand_leaps = _leaps(passage, hand) if places is None else places[hand]
        steps = steps_of(passage.lines[hand], hand_leaps, hand)
        outside = len(passage.lines[hand]) - len(steps[1].strikes)
        laid: list[list[tuple[int, tuple[int, ...]]]] = []
        for number in sorted(options.steps):
            step = steps[number]
            alike = [(strike.onset.index, strike.kept) for strike in step.strikes]
            if not alike or alike in laid:
                continue
            laid.append(alike)
            try:
                drills.append(_drill(passage, hand, step, outside, options))
            except UnprintableError as reason:
                refused.append(
                    Remark.of("leaps.refused", step=number, hand=hand, reason=reason.told)
                )
    if not drills and not refused:
        raise nothing_to_drill(
            passage,
            "leaps",
            "no hand is carried a seventh or more between two notes",
            suggestion(passage),
        )
    return Made(tuple(drills), tuple(refused))


def need(passage: Passage) -> Need | None:
    """The beats on which a marked hand lands from a leap that has no time to spare."""
    landings = {hand: _hurried(passage, hand) for hand in passage.hands}
    hands = tuple(hand for hand in landings if landings[hand])
    if not hands:
        return None
    times = [time for hand in hands for time in landings[hand]]
    each = ((h, Remark.of("why.leaps", hand=h, count=len(landings[h]))) for h in hands)
    return Need(share(passage, moments(times)), 6, hands, each=tuple(each))


def never(drill: Drill) -> Remark | None:
    """Why leaps are no drill that are notes of less than a sixteenth between rests, once the notes
    around them are gone: nobody counts them, and the hand does not leap but goes on."""
    struck = (event for bar in drill.sheet.bars for event in bar.events if event.tones)
    if min(event.length for event in struck) >= SHORTEST:
        return None
    return Remark.of("never.leaps-too-short")


def _hurried(passage: Passage, hand: Hand) -> list[Quarters]:
    """When the hand lands from leaps of at most a second and a half that it cannot open for.

    Where they are all one leap it counts if it is far, or has no time at all.
    """
    line = passage.lines[hand]
    found = [
        leap
        for leap in _leaps(passage, hand)
        if leap.moved.is_wide and seconds(passage, leap.time) <= TIME_TO_SPARE
    ]
    alike = len({leap.moved for leap in found}) == 1
    if alike and not any(_is_trouble_alone(passage, leap) for leap in found):
        return []
    return [line[leap.end].time for leap in found]


def _is_trouble_alone(passage: Passage, leap: Leap) -> bool:
    bits = leap.index_of_difficulty / seconds(passage, leap.time)
    far = leap.moved.letters
    return (far >= LONE_LETTERS and bits >= LONE_LOAD) or (far > LONE_LETTERS and bits > CALM_LOAD)


def _leaps(passage: Passage, hand: Hand) -> tuple[Leap, ...]:
    return leaps(passage.lines[hand], hand)


def _drill(passage: Passage, hand: Hand, step: Step, outside: int, options: LeapOptions) -> Drill:
    """The drill of a step; ``outside``: so many onsets lie outside the leaps of all steps."""
    excerpts = excerpts_of(passage, step.strikes, {leap.start: leap.end for leap in step.leaps})
    kinds = _kinds(step)
    kept = [strike for excerpt in excerpts for strike in excerpt.strikes]
    source = {strike.onset.index: place for place, strike in enumerate(kept)}
    first = with_waits(passage, excerpts, frozenset(kinds), source)
    if single := len({frozenset(ends) for ends in kinds}) == 1:
        first = filling(first)
    second = in_time(passage, excerpts, source, first.length)
    second = filling(second) if single else second
    sheet = _signed(_sheet(passage, hand, excerpts, first, second), hand, first, kinds)
    figures = leap_figures(excerpts, kinds, source, hand)
    drill = drill_of(
        passage,
        options,
        ("leaps", f"step-{step.number}"),
        (hand,),
        sheet,
        (source_note(strike.onset, strike.kept) for strike in kept),
        of=hand,
        worth=(WORTH_ALONE if single else WORTH)[step.number],
        remarks=remarks(figures, single),
        left_out=_left_out(outside),
    )
    alone = all(len(strike.onset.tones) == 1 for strike in kept)
    return replace(drill, leaps=figures, label="alone" if alone else "")


def _kinds(step: Step) -> dict[Ends, Leap]:
    """The different leaps of a step; flagged if one of its kind is among the worst.

    Where there are no more leaps than would be flagged, none stands out.
    """
    by_index = {strike.onset.index: strike for strike in step.strikes}
    kinds: dict[Ends, Leap] = {}
    for leap in step.leaps:
        ends = by_index[leap.start].pitches, by_index[leap.end].pitches
        if ends not in kinds or leap.flagged:
            kinds[ends] = leap
    if all(leap.flagged for leap in kinds.values()):
        return {ends: replace(leap, flagged=False) for ends, leap in kinds.items()}
    return kinds


def _sheet(
    passage: Passage, hand: Hand, excerpts: Sequence[Excerpt], first: Round, second: Round
) -> Sheet:
    """Both rounds with their double bars, the second on a new line unless one holds both."""
    start = len(first.bars)
    bars = [*first.bars, replace(second.bars[0], system_break=True), *second.bars[1:]]
    places = [bar for excerpt in excerpts for bar, _ in excerpt.bars]
    again = islice(cycle(places), len(second.bars))
    keys = [key_at(passage, bar) for bar in (*[places[0]] * start, *again)]
    notes = [*first.notes, *second.notes]
    sheet = bar_up([notes], bars, keys[0], (hand.staff,), label_again=True)
    doubles = {count - 1 for count in first.breaks} | {start + count - 1 for count in second.breaks}
    return replace(
        sheet,
        bars=tuple(
            replace(
                bar,
                key=keys[number],
                barline=bar.barline or ("light-light" if number in doubles else None),
            )
            for number, bar in enumerate(sheet.bars)
        ),
    )


def _signed(sheet: Sheet, hand: Hand, first: Round, kinds: Mapping[Ends, Leap]) -> Sheet:
    """The sheet with a sign at each round, and one over the landing of each flagged leap."""
    signs = [(Fraction(0), "rehearsal", ROUND_SIGNS[0])]
    signs.append((sheet.starts[len(first.bars)], "rehearsal", ROUND_SIGNS[1]))
    flagged = {ends for ends, leap in kinds.items() if leap.flagged}
    for before, after in pairwise(note for note in first.notes if note.tones):
        ends = _pitches(before), _pitches(after)
        if ends in flagged:
            flagged.discard(ends)
            signs.append((after.time, "words", WORST_SIGN))
    return replace(
        sheet,
        bars=tuple(
            replace(
                bar,
                directions=tuple(
                    Direction(time - start, hand.staff, kind, text)
                    for time, kind, text in signs
                    if start <= time < start + bar.length
                ),
            )
            for start, bar in zip(sheet.starts, sheet.bars, strict=True)
        ),
    )


def _pitches(note: Written) -> tuple[Pitch, ...]:
    return tuple(tone.pitch for tone in note.tones)


def _left_out(outside: int) -> Iterator[Remark]:
    if outside:
        yield Remark.of("left-out.outside-the-leaps", count=outside)


FAMILY = Family("leaps", make, LeapOptions, need, never)
