"""Passages that many tests of the drills share, and what a family makes of one."""

from dataclasses import replace
from fractions import Fraction
from typing import Any

from engrave.drills.family import Family, Made
from engrave.music.drill import Drill
from engrave.music.notes import Hand
from engrave.music.sheet import Direction, Meter, Moment, Span
from engrave.music.tempo import Goal
from engrave.passage.model import Passage
from engrave.passage.onsets import onsets
from tests.drills.builders import even, passage
from tests.drills.fingers import fingered, suggested
from tests.drills.paper import written

BOTH = (Hand.RIGHT, Hand.LEFT)
RUN = even("G4 A4 B4 C5 D5 E5 F#5 G5", "1/4")
LANDED = passage([*RUN, ("A5", "2")])
TWO_HANDS = passage([*RUN, ("A5", "2")], [("G3", "1"), ("B3 D4", "1"), ("A3", "2")], hands=BOTH)
OFF_BEAT = passage([("rest", "1/4"), *RUN[1:], ("A5", "2")])
DOWN = even("B5 A5 G5 F#5 E5 D5 C5 B4", "1/4")
DOTTED = Goal(Fraction(3, 2), Fraction(80))
IN_THREES = passage(
    [*even("G4 A4 B4 C5 D5 E5", "1/2"), ("F5", "3")], meter=Meter(6, 8), goal=DOTTED
)
MARCH = [("C2", "1/2"), ("E3 G3 C4", "1/2"), ("G1", "1/2"), ("E3 G3 C4", "1/2"), ("C2", "2")]
ON_BARS = [("C2", "1"), ("E3 G3 C4", "1"), ("E3 G3 C4", "1")]


BETWEEN = [("A5", "1/2"), ("E5 G5", "1/2"), ("F#5", "1")]
CROSSING = passage(
    [("rest", "1"), *even("C4 E4 G4 C5", "1/4"), ("E5", "2"), ("D5", "2")],
    [*even("C3 E3 G3 B3", "1/4"), ("rest", "1"), ("C3", "2"), ("B2", "2")],
    hands=BOTH,
)
FOUR_BEATS = passage(
    even("G4 A4 B4 C5 D5 E5 F#5 G5 A5 G5 F#5 E5 D5 C5 B4 A4", "1/4"),
    [("G3", "1"), ("B3 D4", "2"), ("A3", "1")],
    hands=BOTH,
)
WALTZ = [*ON_BARS, ("G1", "1"), ("F3 G3 B3", "1"), ("F3 G3 B3", "1"), *ON_BARS]
ARPEGGIO = fingered(
    passage([*even("C4 E4 G4 C5 E5 G5", "1/4"), ("C6", "1/2")]), Hand.RIGHT, "1 2 3 1 2 3 5"
)


def alberti(meter: Meter) -> Passage:
    """Two broken chords in eighths, with their fingers."""
    notes = even("C3 G3 E3 G3 C3 G3 E3 G3 F3 C4 A3 C4 F3 C4 A3 C4", "1/2")
    source = passage(left=notes, meter=meter, hands=(Hand.LEFT,))
    return fingered(source, Hand.LEFT, "5 1 3 1 " * 4)


ALBERTI = alberti(Meter(4, 4))
LEFT_HAND = passage(left=[*even("C3 D3 E3 F3 G3 A3 B3 C4", "1/4"), ("D4", "2")], hands=(Hand.LEFT,))
THREE_VOICES = suggested(
    written(
        Meter(4, 4),
        ("1.1: E5 1, F5 1, G5 1, E5 1", "1.2: C5 2, B4 2", "1.3: G4~ 4", "2.5: C3 4"),
        ("1.1: D5 4", "1.2: A4 2, - 2", "1.3: ~G4 2, F4 2", "2.5: C3 4"),
        hands=(Hand.RIGHT,),
    )
)
SECOND_VOICE_LATER = written(
    Meter(4, 4),
    ("1.1: E5 1, F5 1, G5 1, E5 1", "2.5: C3 4"),
    ("1.1: D5 2, C5 2", "1.2: . 1, A4 1, G4 2", "2.5: C3 4"),
    hands=(Hand.RIGHT,),
)
SHARED_VOICES = written(
    Meter(4, 4),
    ("1.1: E5 1, F5 1, L G4 1, L E4 1", "2.5: C3 2, - 2"),
    ("1.1: D5 4", "2.5: R A3 1, B2 1, C3 2"),
)


def meeting(right: str, each: str, left: str, other: str) -> Passage:
    """Two beats of one rhythm against another, and a half note."""
    upper = [*even(f"{right} {right}", each), ("C5", "2")]
    lower = [*even(f"{left} {left}", other), ("C3", "2")]
    return passage(upper, lower, hands=BOTH)


def signed(source: Passage) -> Passage:
    """The passage with an accented, a short and a held note, dynamics, words, a slur, a hairpin."""
    first, *others = source.sheet.bars
    signs = {1: ("accent", "tenuto"), 2: ("staccato",)}
    at = Fraction(1)
    bar = replace(
        first,
        directions=(
            Direction(Fraction(0), 1, "dynamic", "p"),
            Direction(at, 1, "dynamic", "f"),
            Direction(at, 1, "words", "dolce"),
            Direction(at, 2, "dynamic", "mf"),
        ),
        events=tuple(
            replace(event, articulations=signs.get(number, ()))
            for number, event in enumerate(first.events)
        ),
    )
    middle = Moment(0, at)
    spans = (
        Span("slur", Moment(0, Fraction(0)), middle),
        Span("crescendo", middle, Moment(1, Fraction(0))),
    )
    sheet_ = replace(source.sheet, bars=(bar, *others), spans=spans)
    return replace(source, sheet=sheet_, lines={hand: onsets(sheet_, hand) for hand in Hand})


def all_made(family: Family[Any], source: Passage, **options: Any) -> Made:
    return family.make(source, family.options(**options))


def made(family: Family[Any], source: Passage, **options: Any) -> tuple[Drill, ...]:
    return all_made(family, source, **options).drills
