"""Rhythms: an example worked out by hand, ends, phases, defaults, and what must not change."""

from fractions import Fraction
from typing import Any

import pytest

from engrave.drills.patterns import PATTERNS, custom, opposite
from engrave.drills.rhythms import FAMILY
from engrave.errors import EngraveError
from engrave.music.drill import Drill
from engrave.music.notes import Hand
from engrave.music.sheet import Meter
from engrave.music.tempo import Goal
from engrave.passage.model import Passage
from engrave.remarks import Remark
from tests.drills.builders import even, heard, passage
from tests.drills.sources import RUN


def made(source: Passage, *variants: str, **options: Any) -> dict[str, Drill]:
    values = {"variants": variants, **options} if variants else options
    return {drill.variant: drill for drill in FAMILY.make(source, FAMILY.options(**values)).drills}


def lengths(drill: Drill) -> list[tuple[str, str]]:
    return [(name, str(length)) for name, _, length in heard(drill)]


WORKED = {
    "long-short": "G4 3/4, A4 1/4, B4 3/4, C5 1/4, D5 3/4, E5 1/4, F#5 3/4, G5 1/4, A5 2",
    "short-short-long": ("G4 1/4, A4 1/4, B4 1/2, C5 1/4, D5 1/4, E5 1/2, F#5 1/4, G5 1/4, A5 3/2"),
    "in-threes": "G4 1/3, A4 1/3, B4 1/3, C5 1/3, D5 1/3, E5 1/3, F#5 1/2, G5 1/2, A5 1",
}


@pytest.mark.parametrize("variant", WORKED)
def test_worked_example(variant: str) -> None:
    """A run and its landing, worked out by hand, to the note."""
    drill = made(passage([*RUN, ("A5", "2")]), variant)[variant]
    expected = [tuple(note.split()) for note in WORKED[variant].split(", ")]
    assert lengths(drill) == expected
    assert drill.written == tuple((index,) for index in range(9))
    assert all(bar.is_full for bar in drill.sheet.bars)
    assert drill.meter == Meter(2, 4)


def test_measure_numbers_stand_above_the_first_note_of_each_measure() -> None:
    drill = made(passage([*RUN, ("A5", "2")]), "long-short")["long-short"]
    labels = [(event.label, event.tones[0].pitch.spelling)
              for bar in drill.sheet.bars for event in bar.events if event.label]  # fmt: skip
    assert labels == [("41", "G4"), ("42", "A5")]


def test_a_run_before_a_rest_lands_on_its_own_last_note() -> None:
    drill = made(passage([*RUN, ("rest", "2")]), "long-short")["long-short"]
    assert lengths(drill)[-2:] == [("F#5", "1"), ("G5", "2")]
    assert [name for name, _ in lengths(drill)] == [name for name, _ in RUN]


def test_a_run_off_the_beat_takes_the_phase_of_its_beat() -> None:
    source = passage([("rest", "1/4"), *even("A4 B4 C5 D5 E5 F#5 G5", "1/4"), ("A5", "2")])
    drill = made(source, "long-short")["long-short"]
    first = drill.sheet.bars[0]
    assert first.implicit
    assert first.length == Fraction(1, 4)
    assert lengths(drill)[:3] == [("A4", "1/4"), ("B4", "3/4"), ("C5", "1/4")]


def test_speed_of_the_last_mark() -> None:
    """At the goal the shortest note is as fast as the run (120, 120 * 4 / 3, 120 * 4 / 6)."""
    source = passage([*RUN, ("A5", "2")], goal=Goal(Fraction(1), Fraction(120)))
    drills = made(source) | made(source, "in-fours-1")
    assert drills["long-short"].ladder.marks[-1] == 120
    assert drills["in-threes"].ladder.marks[-1] == 160
    assert drills["in-fours-1"].ladder.marks[-1] == 80
    assert drills["in-fours-1"].ladder.beat_unit == Fraction(3, 2)


@pytest.mark.parametrize(
    ("meter", "beat", "goal"),
    [
        (Meter(6, 8), Fraction(3, 2), 80),
        (Meter(2, 2), Fraction(2), 60),
        (Meter(3, 8), Fraction(1, 2), 240),
        (Meter(2, 4), Fraction(1), 120),
    ],
)
def test_speed_whatever_the_beat_of_the_goal(meter: Meter, beat: Fraction, goal: int) -> None:
    """480 sixteenths a minute, in dotted quarters, halves, eighths or quarters.

    A quarter of long-short has four of its shortest note, one of in-threes three; a dotted quarter
    of in-fours has six: 480 / 4, 480 / 3, 480 / 6.
    """
    source = passage([*RUN, ("A5", "2")], meter=meter, goal=Goal(beat, Fraction(goal)))
    drills = made(source, "long-short", "in-threes", "in-fours-1")
    last = {name: drill.ladder.marks[-1] for name, drill in drills.items()}
    units = {name: drill.ladder.beat_unit for name, drill in drills.items()}
    quarter = Fraction(1)
    assert (last["long-short"], units["long-short"]) == (120, quarter)
    assert (last["in-threes"], units["in-threes"]) == (160, quarter)
    assert (last["in-fours-1"], units["in-fours-1"]) == (80, Fraction(3, 2))


@pytest.mark.parametrize(
    ("variant", "key"),
    [
        ("long-short", None),
        ("long-short-short", "cycle"),
        ("in-threes", "accent-cycle"),
        ("in-fours-1", None),
        ("custom-1-1-2-1-1-2", "anew"),
    ],
)
def test_what_wanders_through_a_run_in_fours_is_said(variant: str, key: str | None) -> None:
    """Three and four meet after twelve notes; six and four too, but only on every second note."""
    scale = even("G4 A4 B4 C5 D5 E5 F#5 G5 F#5 E5 D5 C5 B4", "1/4")
    drill = made(passage(scale), "in-fours-1", patterns=((1, 1, 2, 1, 1, 2),))
    drill |= made(passage(scale))
    told = [each for each in drill[variant].remarks if each.key != "rhythms.speed"]
    assert told == ([Remark.of(f"rhythms.{key}", count=12)] if key else [])


def test_nothing_wanders_through_a_run_that_is_too_short() -> None:
    for drill in made(passage([*RUN, ("A5", "2")])).values():
        assert [remark.key for remark in drill.remarks] == ["rhythms.speed"]


def test_defaults_for_runs_in_fours_and_in_threes() -> None:
    fours = list(made(passage([*RUN, ("A5", "2")])))
    assert fours == [
        "long-short", "short-long", "short-short-long", "long-short-short", "in-threes",
    ]  # fmt: skip
    source = passage([*even("G4 A4 B4 C5 D5 E5", "1/2"), ("F5", "3")], meter=Meter(6, 8))
    threes = list(made(source))
    assert threes == [
        "long-short", "short-long", "short-short-long", "long-short-short", "in-fours-1",
        "in-fours-4",
    ]  # fmt: skip


def test_no_pattern_without_its_opposite() -> None:
    drills = made(passage([*RUN, ("A5", "2")]), "short-long", "in-fours-3", patterns=((3, 1, 2),))
    assert list(drills) == [
        "short-long", "long-short", "in-fours-3", "in-fours-2", "custom-3-1-2", "custom-2-1-3",
    ]  # fmt: skip


def test_two_runs_make_one_drill_with_what_lies_between() -> None:
    second = even("B5 A5 G5 F#5 E5 D5 C5 B4", "1/4")
    source = passage([*RUN, ("A5", "1/2"), ("E5 G5", "1/2"), ("F#5", "1"), *second, ("A4", "2")])
    drill = made(source, "long-short")["long-short"]
    assert len(drill.source) == len(drill.written) == 20
    assert ("E5 G5", "1/2") in lengths(drill)
    assert all(bar.is_full for bar in drill.sheet.bars)


def test_chords_keep_all_their_notes() -> None:
    thirds = [(f"{a} {b}", "1/4") for a, b in zip("CDEFGABC", "EFGABCDE", strict=True)]
    thirds = [(" ".join(n + ("5" if n in "CDE" and i > 4 else "4") for n in names.split()), v)
              for i, (names, v) in enumerate(thirds)]  # fmt: skip
    drill = made(passage([*thirds, ("D5 F5", "2")]), "in-fours-2")["in-fours-2"]
    assert all(len(note.pitches) == 2 for note in drill.source)


def test_both_hands_keep_together_what_was_struck_together() -> None:
    source = passage([*RUN, ("A5", "2")], [("G3", "1"), ("B3 D4", "1"), ("A3", "2")])
    drill = made(source, "long-short", together=True)["long-short"]
    times = {name: time for name, time, _ in heard(drill)}
    assert times["G3"] == times["G4"]
    assert times["B3 D4"] == times["D5"]
    assert times["A3"] == times["A5"]
    assert drill.hand == "both"


def test_a_passage_without_runs_is_refused() -> None:
    with pytest.raises(EngraveError, match="no run of four"):
        FAMILY.unasked(passage([("C4", "1"), ("D4", "1")]))


@pytest.mark.parametrize(
    ("lengths_", "word"),
    [((2, 3), "adds up to 5"), ((7, 1), "length of 7"), ((2, 2), "alike")],
)
def test_patterns_that_cannot_be_notated(lengths_: tuple[int, ...], word: str) -> None:
    with pytest.raises(EngraveError, match=word) as caught:
        custom(lengths_)
    assert caught.value.hint


@pytest.mark.parametrize("name", PATTERNS)
def test_opposite_of_opposite(name: str) -> None:
    mirror = opposite(PATTERNS[name])
    if mirror:
        assert mirror.lengths == PATTERNS[name].lengths[::-1]
        assert opposite(mirror) == PATTERNS[name]
    else:
        assert PATTERNS[name].lengths == PATTERNS[name].lengths[::-1]


def test_a_run_that_passes_between_the_hands_is_one_line_on_two_staves() -> None:
    source = passage(
        [("rest", "1"), *even("C4 E4 G4 C5", "1/4"), ("E5", "2")],
        [*even("C3 E3 G3 B3", "1/4"), ("rest", "3")],
        hands=(Hand.RIGHT, Hand.LEFT),
    )
    (drill,) = FAMILY.make(source, FAMILY.options(variants=("in-threes",))).drills
    assert drill.id == "turn.rhythms.in-threes"
    assert drill.sheet.staves == (1, 2)
    assert {event.voice for bar in drill.sheet.bars for event in bar.events} == {1}
    names = [name for name, _ in lengths(drill)]
    assert names == ["C3", "E3", "G3", "B3", "C4", "E4", "G4", "C5", "E5"]
    assert [note.hand for note in drill.source] == [Hand.LEFT] * 4 + [Hand.RIGHT] * 5


def test_thirds_and_halves_do_not_share_a_beat_between_runs() -> None:
    """The next run keeps its phase; what lies between reaches over to it instead."""
    second = even("B5 A5 G5 F#5 E5 D5 C5", "1/4")
    source = passage([*RUN, ("A5", "1"), ("E5", "1"), ("rest", "1/4"), *second, ("A4", "2")])
    drill = made(source, "in-threes")["in-threes"]
    tuplets = {event.value.tuplet.actual for bar in drill.sheet.bars for event in bar.events
               if event.value.tuplet}  # fmt: skip
    assert tuplets == {3}
    times = {name: time for name, time, _ in heard(drill)}
    assert times["B5"] % 1 == Fraction(1, 3)


def test_whole_beats_between_runs_are_followed_by_the_next_within_their_last_beat() -> None:
    """Two beats of E5 begin on a beat: the run waits a third for its phase, and no beat more."""
    second = even("B5 A5 G5 F#5 E5 D5 C5", "1/4")
    source = passage([*RUN, ("A5", "5/4"), ("E5", "2"), *second, ("A4", "2")])
    drill = made(source, "in-threes")["in-threes"]
    assert [time for name, time, _ in heard(drill) if name == "B5"] == [Fraction(19, 3)]


def test_a_landing_that_begins_the_next_run_is_played_once_and_keeps_its_phase() -> None:
    """Eighths into sixteenths: D5 is the landing and the first of a group of the next run, which
    goes on with the group's second note."""
    quick = even("D5 E5 F5 G5 A5 B5 C6 D6", "1/4")
    source = passage([*even("G4 A4 B4 C5", "1/2"), *quick, ("E6", "2")])
    drill = made(source, "short-short-long")["short-short-long"]
    assert [(name, str(time), str(length)) for name, time, length in heard(drill)] == [
        ("G4", "0", "1/4"), ("A4", "1/4", "1/4"), ("B4", "1/2", "1/2"), ("C5", "1", "1"),
        ("D5", "2", "9/4"),  # held to the bar's end, and in the place of the group's first note
        ("E5", "17/4", "1/4"), ("F5", "9/2", "1/2"),
        ("G5", "5", "1/4"), ("A5", "21/4", "1/4"), ("B5", "11/2", "1/2"),
        ("C6", "6", "1/4"), ("D6", "25/4", "1/4"), ("E6", "13/2", "3/2"),
    ]  # fmt: skip


def test_what_both_hands_strike_at_once_goes_along_beside_a_crossing_run() -> None:
    source = passage(
        [("rest", "1"), *even("C4 E4 G4 C5", "1/4"), ("E5", "2"), ("D5", "2")],
        [*even("C3 E3 G3 B3", "1/4"), ("rest", "1"), ("C3", "2"), ("B2", "2")],
        hands=(Hand.RIGHT, Hand.LEFT),
    )
    (drill,) = FAMILY.make(source, FAMILY.options(variants=("in-threes",))).drills
    assert {index for group in drill.written for index in group} == set(range(len(drill.source)))
    times = {name: time for name, time, _ in heard(drill)}
    landing = [note for note in drill.source if note.measure == "42" and note.offset == 0]
    assert [note.hand for note in landing] == [Hand.RIGHT, Hand.LEFT]
    assert times["E5"] == [time for name, time, _ in heard(drill) if name == "C3"][1]


def test_a_figure_that_comes_again_is_named_by_the_measure_in_which_it_begins() -> None:
    """Its first note is the last of a measure."""
    figure = [("rest", "7/4"), *even("G4 A4 B4 C5 D5 E5 D5 C5", "1/4"), ("rest", "1/4")]
    drill = made(passage([*figure, *figure]))["long-short"]
    assert Remark.of("rhythms.again", measures=["43"], count=1) in drill.remarks


def test_a_figure_that_comes_again_is_drilled_once_and_named() -> None:
    """The same steps between like keys, with the same fingers and the same way on."""
    figure = [*even("G4 A4 B4 C5 D5 E5 D5 C5", "1/4"), ("B4", "1"), ("rest", "1")]
    up = [*even("C5 D5 E5 F5 G5 A5 G5 F5", "1/4"), ("E5", "1"), ("rest", "1")]
    drill = made(passage([*figure, *figure, *up]))["long-short"]
    assert len(drill.source) == 9
    again = [each for each in drill.remarks if each.key == "rhythms.again"]
    assert [dict(each.values)["measures"] for each in again] == [["43", "45"]]
    other = [*even("G4 A4 B4 C5 B4 A4 G4 F4", "1/4"), ("E4", "1"), ("rest", "1")]
    assert len(made(passage([*figure, *other]))["long-short"].source) > 9


def test_together_drills_the_quicker_hand_and_the_other_follows() -> None:
    thirds = [("E3 G3", "1/2"), ("D3 F3", "1/2"), ("C3 E3", "1/2"), ("D3 F3", "1/2"), ("C3", "2")]
    source = passage([*RUN, ("A5", "2")], thirds, hands=(Hand.RIGHT, Hand.LEFT))
    drills = FAMILY.make(source, FAMILY.options(variants=("long-short",), together=True)).drills
    assert {drill.suffix for drill in drills} == {Hand.RIGHT}


@pytest.mark.parametrize(
    ("group", "fills", "meter"),
    [
        ((3, 1), "1", "2/4"),
        ((2, 1, 1), "1", "2/4"),
        ((3, 1, 2, 2), "2", "2/4"),
        ((4, 2, 1, 1, 8), "4", "4/4"),
        ((2, 1), "3/2", "6/8"),
        ((3, 1, 2), "3/2", "6/8"),
        ((6, 2, 1, 3), "3", "6/8"),
        ((6, 2), "1", "2/4"),  # the same as 3, 1
    ],
)
def test_a_teachers_group_fills_whole_beats(group: tuple[int, ...], fills: str, meter: str) -> None:
    """A sixteenth is the shortest: sums of 4, 8 and 16 are quarters, of 6 and 12 dotted ones."""
    made_ = custom(group)
    assert (made_.fills, str(made_.meter)) == (Fraction(fills), meter)


def test_what_is_its_own_mirror_has_no_opposite() -> None:
    assert opposite(custom((1, 2, 1))) is None
    assert opposite(PATTERNS["short-long-short"]) is None
    assert opposite(PATTERNS["in-threes"]) is None
    mirrored = opposite(custom((3, 1, 2)))
    assert mirrored is not None
    assert mirrored.lengths == (2, 1, 3)


@pytest.mark.parametrize(("rest", "is_kept"), [("1/4", True), ("7/32", False), ("1/8", False)])
def test_a_landing_is_held_over_a_rest_that_no_drill_prints(rest: str, is_kept: bool) -> None:
    """Runs of thirty-seconds after rests shorter than a sixteenth, as in C. P. E. Bach's H. 186,
    measure 20."""
    run = even("A4 G#4 F#4 G#4 B4 E4 D5", "1/8")
    source = passage([*even("C5 D5 E5 F5 G5 A5 B5", "1/8"), ("C6", "1"), ("rest", rest), *run,
                      ("A4", "1")])  # fmt: skip
    drill = made(source, "long-short")["long-short"]
    assert any(not event.tones for bar in drill.sheet.bars for event in bar.events) is is_kept
    assert all(bar.is_full or bar.implicit for bar in drill.sheet.bars)
    assert len(drill.written) == 16
