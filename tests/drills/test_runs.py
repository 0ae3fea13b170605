"""Where runs are found, and where they are not."""

from dataclasses import replace
from fractions import Fraction

import pytest

from engrave.music.notes import Hand, Pitch, Value
from engrave.music.sheet import Event, Meter, Sheet, Tone
from engrave.passage.onsets import onsets
from engrave.passage.runs import Run, runs, runs_across
from tests.drills.builders import even, passage, sheet

SIXTEENTHS = even("G4 A4 B4 C5 D5 E5 F5 G5", "1/4")


def found(source: Sheet) -> tuple[Run, ...]:
    return runs(onsets(source, Hand.RIGHT), lambda bar: source.bars[bar].meter)


def with_voice(source: Sheet, bar: int, *notes: tuple[str, str, str]) -> Sheet:
    """The sheet with a second right-hand voice: (pitch, offset, value type)."""
    events = tuple(
        Event(
            Fraction(offset), Value(kind).length, Value(kind), (Tone(Pitch.parse(name)),), voice=2
        )
        for name, offset, kind in notes
    )
    bars = list(source.bars)
    bars[bar] = replace(bars[bar], events=(*bars[bar].events, *events))
    return replace(source, bars=tuple(bars))


def test_a_run_ends_at_a_longer_note_which_is_its_landing() -> None:
    (run,) = found(sheet([*SIXTEENTHS, ("A5", "2")]))
    assert len(run.notes) == 8
    assert run.landing is not None
    assert run.landing.pitches[0].spelling == "A5"
    assert (run.start, run.end) == (0, 2)


def test_a_rest_or_the_end_leaves_a_run_without_landing() -> None:
    assert found(sheet([*SIXTEENTHS, ("rest", "2")]))[0].landing is None
    assert found(sheet(SIXTEENTHS))[0].landing is None


def test_a_longer_note_inside_makes_two_runs() -> None:
    line = [*SIXTEENTHS[:4], ("C5", "1"), *SIXTEENTHS]
    assert [len(run.notes) for run in found(sheet(line))] == [4, 8]


def test_a_run_goes_over_into_another_of_shorter_notes() -> None:
    slow, quick = found(sheet([*even("G4 A4 B4 C5", "1/2"), *SIXTEENTHS]))
    assert [len(slow.notes), len(quick.notes)] == [4, 8]
    assert slow.landing is not None
    assert slow.landing.time == quick.notes[0].time


def test_quarters_three_notes_and_notes_with_rests_are_no_runs() -> None:
    assert not found(sheet(even("C4 D4 E4 F4 G4 A4", "1")))
    assert not found(sheet([*SIXTEENTHS[:3], ("C5", "5/4")]))
    assert not found(sheet([note for pair in SIXTEENTHS for note in (pair, ("rest", "1/4"))]))


def test_place_and_group_come_from_the_beat() -> None:
    (run,) = found(sheet([("rest", "3/4"), *SIXTEENTHS[:5], ("A5", "2")]))
    assert (run.place_in_beat, run.per_beat, run.in_threes) == (3, 4, False)
    (run,) = found(sheet(even("G4 A4 B4 C5 D5 E5", "1/2"), meter=Meter(6, 8)))
    assert (run.place_in_beat, run.per_beat, run.in_threes) == (0, 3, True)


def test_a_pickup_is_counted_from_the_bar_that_it_completes() -> None:
    source = passage([("E4", "1/4"), *SIXTEENTHS, ("A5", "2")], pickup=Fraction(1, 4))
    (run,) = runs(source.lines[Hand.RIGHT], lambda bar: Meter(2, 4))
    assert run.place_in_beat == 3


def test_a_run_that_begins_between_its_own_values_begins_its_groups_itself() -> None:
    (run,) = found(sheet([("C4", "1/8"), *SIXTEENTHS, ("A5", "1")]))
    assert (run.place_in_beat, run.notes[0].time) == (0, Fraction(1, 8))


def test_the_voice_that_runs_is_taken_and_the_other_told() -> None:
    (run,) = found(with_voice(sheet([*SIXTEENTHS, ("A5", "2")]), 0, ("C4", "0", "half")))
    assert run.notes[0].pitches[0].spelling == "G4"
    assert all(len(note.tones) == 1 for note in run.notes)
    assert len(run.others) == 1


def test_voices_that_move_as_one_are_taken_together() -> None:
    thirds = [(name, str(Fraction(i, 4)), "16th") for i, (name, _) in enumerate(SIXTEENTHS)]
    lower = [(Pitch.parse(name).shifted(-1).spelling, at, kind) for name, at, kind in thirds]
    (run,) = found(with_voice(sheet(SIXTEENTHS), 0, *lower))
    assert all(len(note.tones) == 2 for note in run.notes)
    assert not run.others


def test_a_run_that_voices_make_by_turns() -> None:
    broken = [("rest", "1/4"), *SIXTEENTHS[:3], ("rest", "1/4"), *SIXTEENTHS[4:7]]
    source = with_voice(sheet(broken), 0, ("E5", "0", "quarter"), ("F5", "1", "quarter"))
    (run,) = found(source)
    assert len(run.notes) == 8
    assert run.value == Fraction(1, 4)


def test_a_run_goes_on_under_a_tone_of_its_own_voice_that_is_tied_over() -> None:
    """A chord of which one tone is tied on sounds as long as that: the next note is no new run."""
    first, *others = onsets(sheet([("C4 G4", "1/4"), *SIXTEENTHS[1:]]), Hand.RIGHT)
    low, high = first.tones
    tied = replace(first, tones=(replace(low, length=Fraction(1, 2)), high))
    (run,) = runs([tied, *others], lambda bar: Meter(2, 4))
    assert len(run.notes) == 8


@pytest.mark.parametrize(
    ("lower", "passes"),
    [
        # The left hand begins under the last note of the right hand's turn …
        ("G3 A3 B3 C4 D4", True),
        # … or goes along with its last two, and then only goes on alone.
        ("F3 G3 A3 B3 C4 D4", False),
    ],
)
def test_hands_that_go_along_with_each_other_do_not_take_turns(lower: str, passes: bool) -> None:
    begin = Fraction(8 - len(lower.split()), 4)
    source = passage(
        even("G4 A4 B4 C5", "1/4"),
        [("rest", str(begin)), *even(lower, "1/4")],
        hands=(Hand.RIGHT, Hand.LEFT),
    )
    shared = runs_across(source.lines, lambda bar: Meter(2, 4))
    assert [len(run.notes) for run in shared.runs] == ([8] if passes else [])


@pytest.mark.parametrize(
    ("names", "repeats"),
    [
        ("C5 C5 C5 C5", True),
        ("C5 D5 E5 F5", False),
        ("C5 C5 D5 D5", True),  # two of three moves stay, and there is no third key
        ("C5 C5 D5 E5 F5", False),  # one of four
        ("C5 C5 C5 C5 C5 D5 D5 D5 E5", True),  # five strokes of one key
        ("C5 C5 C5 C5 D5 D5 D5 E5", False),  # four: a finger for each, 4 3 2 1
        ("C5 C5 D5 D5 E5", False),  # pairs, each key with two fingers
        ("C5 C5 D5 E5 E5 F5", False),
    ],
)
def test_what_mostly_strikes_the_same_keys_is_no_run(names: str, repeats: bool) -> None:
    source = sheet(even(names, "1/4"))
    notes = onsets(source, Hand.RIGHT)
    assert Run(notes, Fraction(1, 4), None, 0, Fraction(4)).repeats is repeats


def test_chords_struck_again_are_an_accompaniment() -> None:
    """Two of four moves stay: half is enough."""
    source = sheet([(chord, "1/4") for chord in ("C5 E5", "C5 E5", "D5 F5", "D5 F5", "E5 G5")])
    assert Run(onsets(source, Hand.RIGHT), Fraction(1, 4), None, 0, Fraction(4)).repeats


@pytest.mark.parametrize(
    ("per_beat", "group", "in_threes"),
    [(2, 4, False), (3, 3, True), (4, 4, False), (5, 5, False), (6, 3, True), (7, 7, False),
     (8, 4, False), (9, 3, True), (12, 3, True), ("3/2", 4, False), ("1/2", 4, False)],
)  # fmt: skip
def test_how_many_notes_are_heard_as_a_group(
    per_beat: int | str, group: int, in_threes: bool
) -> None:
    run = Run((), Fraction(1, 4), None, 0, Fraction(per_beat))
    assert (run.group, run.in_threes) == (group, in_threes)


def test_chords_that_go_on_are_no_accompaniment() -> None:
    source = sheet([(chord, "1/4") for chord in ("C5 E5", "D5 F5", "E5 G5", "F5 A5")])
    assert not Run(onsets(source, Hand.RIGHT), Fraction(1, 4), None, 0, Fraction(4)).repeats
