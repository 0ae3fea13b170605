"""Leaps: from the bass note to one note of the chord, to two, to all, with a wait and in time.

Enters: a passage whose onsets have their fingers. Leaves: a drill a step and hand. ``steps`` knows
what each step plays, ``rounds`` when, ``places`` which leaps the teacher names.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from engrave.drills.barring import Written, bar_up
from engrave.drills.family import (
    Family,
    Made,
    Options,
    key_at,
    left_out_of,
    nothing_to_drill,
    played,
    scaled_ladder,
    source_note,
    suffix,
)
from engrave.drills.leaps.places import named
from engrave.drills.leaps.rounds import Ends, Round, Stretch, in_time, stretches, with_waits
from engrave.drills.leaps.steps import STEPS, Strike, leaps_of_step, strikes
from engrave.model import Direction, Drill, Hand, LeapFigures, Pitch, Remark, Sheet
from engrave.passage import Passage
from engrave.positions import Leap, leaps
from engrave.values import UnprintableError

ROUND_SIGNS = ("I", "II")
WORST_SIGN = "!"
MOST_NAMED = 4

_COLOURS = {
    ("white", "white"): "leaps.white-to-white",
    ("white", "black"): "leaps.white-to-black",
    ("black", "white"): "leaps.black-to-white",
    ("black", "black"): "leaps.black-to-black",
}


def make(passage: Passage, options: Options) -> Made:
    """Every step for every marked hand that leaps; of steps that come out alike the first."""
    drills: list[Drill] = []
    refused: list[Remark] = []
    places = named(passage, options)
    for hand in passage.hands:
        found = _leaps(passage, hand) if places is None else places[hand]
        laid: list[list[tuple[int, tuple[int, ...]]]] = []
        for step in sorted(options.numbers("steps") or STEPS):
            played_here = strikes(passage.lines[hand], found, hand, step)
            alike = [(strike.onset.index, strike.kept) for strike in played_here]
            if not alike or alike in laid:
                continue
            laid.append(alike)
            try:
                is_first = len(laid) == 1
                drills.append(_drill(passage, hand, found, step, options, is_first))
            except UnprintableError as reason:
                refused.append(Remark.of("leaps.refused", step=step, hand=hand, reason=str(reason)))
    if not drills and not refused:
        raise nothing_to_drill(
            passage,
            "leaps",
            "no two onsets of a hand lie further apart than it spans",
            "drop leaps from this passage's drills, or name a place: {leaps: {at: [41.2]}}",
        )
    return Made(tuple(drills), tuple(refused))


def suits(passage: Passage) -> bool:
    """Whether a marked hand leaps with less than a bar's time for it."""
    return any(
        leap.time <= passage.sheet.bars[passage.lines[hand][leap.start].bar].meter.length
        for hand in passage.hands
        for leap in _leaps(passage, hand)
    )


def _leaps(passage: Passage, hand: Hand) -> tuple[Leap, ...]:
    return leaps(passage.lines[hand], hand, passage.stretch_mm[hand])


def _drill(
    passage: Passage,
    hand: Hand,
    found: Sequence[Leap],
    step: int,
    options: Options,
    is_first: bool,
) -> Drill:
    line = passage.lines[hand]
    in_step = leaps_of_step(line, found, hand, step)
    all_strikes = strikes(line, found, hand, step)
    pairs = {leap.start: leap.end for leap in in_step}
    shown = stretches(passage, all_strikes, pairs)
    by_index = {strike.onset.index: strike for strike in all_strikes}
    ends = _by_ends(in_step, by_index)
    kept = [strike for stretch in shown for strike in stretch.strikes]
    source = {strike.onset.index: place for place, strike in enumerate(kept)}
    first = with_waits(passage, shown, frozenset(ends), source)
    second = in_time(passage, shown, source, sum((bar.length for bar in first.bars), Fraction(0)))
    sheet = _signed(_sheet(passage, hand, shown, first, second), hand, first, ends)
    figures = tuple(_figures(shown, ends, source))
    return Drill(
        passage=passage.id,
        family="leaps",
        variant=f"step-{step}",
        hands=(hand,),
        sheet=sheet,
        ladder=scaled_ladder(passage, options, Fraction(1), passage.goal.beat),
        source=tuple(source_note(strike.onset, strike.kept) for strike in kept),
        written=played(sheet),
        suffix=suffix(passage, hand),
        remarks=tuple(_remarks(kept, figures, ends, is_first)),
        left_out=tuple(_left_out(passage, hand, found, kept)),
        leaps=figures,
    )


def _by_ends(found: Sequence[Leap], strikes: Mapping[int, Strike]) -> dict[Ends, Leap]:
    """The first leap of each kind; flagged if one of its kind is."""
    ends: dict[Ends, Leap] = {}
    for leap in found:
        pair = strikes[leap.start].pitches, strikes[leap.end].pitches
        first = ends.setdefault(pair, leap)
        ends[pair] = replace(first, flagged=first.flagged or leap.flagged)
    return ends


def _sheet(
    passage: Passage, hand: Hand, shown: Sequence[Stretch], first: Round, second: Round
) -> Sheet:
    """Both rounds with their double bars, the second on a new system, in the passage's keys."""
    start = len(first.bars)
    bars = [*first.bars, replace(second.bars[0], system_break=True), *second.bars[1:]]
    places = [bar for stretch in shown for bar, _ in stretch.bars]
    keys = [key_at(passage, bar) for bar in [places[0]] * start + places]
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


def _signed(sheet: Sheet, hand: Hand, first: Round, ends: Mapping[Ends, Leap]) -> Sheet:
    """The sheet with a sign at each round, and one over the landing of each flagged leap."""
    signs = [(Fraction(0), "rehearsal", ROUND_SIGNS[0])]
    signs.append((sheet.starts[len(first.bars)], "rehearsal", ROUND_SIGNS[1]))
    flagged = {pair for pair, leap in ends.items() if leap.flagged}
    for before, after in pairwise(note for note in first.notes if note.tones):
        pair = _pitches(before), _pitches(after)
        if pair in flagged:
            flagged.discard(pair)
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


def _figures(
    shown: Sequence[Stretch],
    ends: Mapping[Ends, Leap],
    source: Mapping[int, int],
) -> Iterator[LeapFigures]:
    """Each different leap of the drill, once; of the passage's worst the first of its kind."""
    seen: set[Ends] = set()
    for stretch in shown:
        for before, after in pairwise(stretch.strikes):
            pair = (before.pitches, after.pitches)
            if pair in seen or pair not in ends:
                continue
            seen.add(pair)
            leap = ends[pair]
            yield LeapFigures(
                start=source[before.onset.index],
                end=source[after.onset.index],
                distance_mm=leap.distance_mm,
                distance_keys=leap.distance_keys,
                landing_key=leap.landing_key,
                start_key=leap.start_key,
                index_of_difficulty=leap.index_of_difficulty,
                flagged=leap.flagged,
            )


def _remarks(
    kept: Sequence[Strike],
    figures: Sequence[LeapFigures],
    ends: Mapping[Ends, Leap],
    in_figures: bool,
) -> Iterator[Remark]:
    """How to play the rounds and which leaps are worst; all in figures with the first drill."""
    yield Remark.of("leaps.rounds")
    shown = [
        (ends[kept[figure.start].pitches, kept[figure.end].pitches], kept[figure.end].onset.measure)
        for figure in figures
    ]
    if in_figures:
        yield Remark.of("leaps.once")
        yield Remark.of("leaps.figures", leaps=list(_in_figures([leap for leap, _ in shown])))
    worst = [_pair(*each) for each in shown if each[0].flagged]
    if worst:
        yield Remark.of("leaps.worst", leaps=worst)
    black = [_pair(*each) for each in shown if each[0].start_key == each[0].landing_key == "black"]
    if len(black) > MOST_NAMED:
        yield Remark.of("leaps.black-many", count=len(black))
    elif black:
        yield Remark.of("leaps.between-black", leaps=black)


def _in_figures(found: Sequence[Leap]) -> Iterator[Remark]:
    """Each leap in words; one that comes back as it went is named once."""
    told: set[tuple[Pitch, Pitch]] = set()
    ways = {(leap.start_pitch, leap.end_pitch) for leap in found}
    for leap in found:
        way, back = (leap.start_pitch, leap.end_pitch), (leap.end_pitch, leap.start_pitch)
        if way in told:
            continue
        told.add(way)
        alike = leap.start_key == leap.landing_key
        if alike and back in ways:
            told.add(back)
        yield Remark.of(
            "leaps.leap",
            way=Remark.of(
                "leaps.both-ways" if alike and back in ways else "leaps.one-way",
                start=leap.start_pitch,
                end=leap.end_pitch,
            ),
            keys=leap.distance_keys,
            mm=leap.distance_mm,
            colours=Remark.of(_COLOURS[leap.start_key, leap.landing_key]),
            index=leap.index_of_difficulty,
        )


def _pair(leap: Leap, measure: str) -> Remark:
    return Remark.of("leaps.pair", start=leap.start_pitch, end=leap.end_pitch, measure=measure)


def _left_out(
    passage: Passage, hand: Hand, found: Sequence[Leap], kept: Sequence[Strike]
) -> Iterator[Remark]:
    line = passage.lines[hand]
    others = len(line) - len(strikes(line, found, hand, 1))
    if others:
        yield Remark.of("leaps.left-out", count=others)
    yield from left_out_of([strike.onset for strike in kept])


FAMILY = Family("leaps", make, suits)
