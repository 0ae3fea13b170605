"""Leaps: every step for either hand, both rounds, figures, places."""

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, reject, settings
from hypothesis import strategies as st

from engrave.drills.leaps import FAMILY
from engrave.errors import EngraveError, Mistakes
from engrave.music.drill import Drill
from engrave.music.notes import Hand, Pitch
from engrave.music.ranges import parse_range
from engrave.music.sheet import Event, KeySignature, Meter
from engrave.music.tempo import Goal
from engrave.passage.model import Passage
from engrave.words import LANGUAGES, say, say_variant
from tests.drills.builders import even, heard, passage
from tests.drills.fingers import fingered, suggested

WALTZ = [("C2", "1"), ("E3 G3 C4", "1"), ("E3 G3 C4", "1")]
MARCH = [("C2", "1/2"), ("E3 G3 C4", "1/2"), ("G1", "1/2"), ("E3 G3 C4", "1/2")]


def left(notes: list[tuple[str, str]], meter: Meter = Meter(2, 4), **more: object) -> Passage:
    return suggested(passage(left=notes, meter=meter, hands=(Hand.LEFT,), **more))  # type: ignore[arg-type]


def right(notes: list[tuple[str, str]], meter: Meter = Meter(2, 4), **more: object) -> Passage:
    return suggested(passage(notes, meter=meter, **more))  # type: ignore[arg-type]


def made(source: Passage, **options: Any) -> dict[str, Drill]:
    return {drill.variant: drill for drill in FAMILY.make(source, FAMILY.options(**options)).drills}


def struck(drill: Drill) -> list[Event]:
    return [event for bar in drill.sheet.bars for event in bar.events if event.is_struck]


def rounds(drill: Drill) -> tuple[list[str], list[str]]:
    """What is struck in the first round and in the second."""
    first: list[str] = []
    second: list[str] = []
    now = first
    for bar in drill.sheet.bars:
        now = second if bar.system_break else now
        now += [" ".join(tone.pitch.spelling for tone in event.tones)
                for event in bar.events if event.is_struck]  # fmt: skip
    return first, second


@pytest.mark.parametrize(("step", "chord"), [(1, "E3"), (2, "C4"), (3, "E3 C4"), (4, "E3 G3 C4")])
def test_what_each_step_plays(step: int, chord: str) -> None:
    """The four steps: little finger's note, thumb's, both, full chord; and back."""
    drill = made(left([*MARCH, ("C2", "2")]))[f"step-{step}"]
    first, second = rounds(drill)
    assert first == ["C2", chord, "G1", chord, "C2"]
    assert second == ["C2", chord, "G1", chord, "C2"]


def test_the_right_hand_mirrors() -> None:
    """Seen from the high note the nearest is the chord's top, the little finger's."""
    notes = [("C6", "1/2"), ("C4 E4 G4", "1/2")] * 2 + [("C6", "2")]
    drills = made(right(notes))
    chords = [rounds(drills[f"step-{step}"])[0][1] for step in (1, 2, 3, 4)]
    assert chords == ["G4", "C4", "C4 G4", "C4 E4 G4"]


@pytest.mark.parametrize(
    ("chord", "played"),
    [
        ("C4 E4 A4", "C5 C6"),  # a bass, wholly outside the chord, stays whole
        ("C4 E4 C5", "C6"),  # it shares a key with the chord: one of two chords, and reduced
    ],
)
def test_an_octave_outside_the_chord_is_a_bass(chord: str, played: str) -> None:
    line = [("C5 C6", "1/2"), (chord, "1/2")] * 2
    source = fingered(passage(line), Hand.RIGHT, "1-5 1-2-5 1-5 1-2-5")
    assert rounds(made(source, steps=(1,))["step-1"])[0][0] == played


def test_an_octave_from_which_the_hand_leaps_to_single_notes_is_no_bass() -> None:
    """There is no chord to be a bass to: it is taken apart itself, its outer note first."""
    line = [("C2 C3", "1/2"), ("E4", "1/2")] * 2
    source = fingered(passage(left=line, hands=(Hand.LEFT,)), Hand.LEFT, "5-1 1 5-1 1")
    drills = made(source, steps=(1, 2))
    assert [rounds(drill)[0][0] for drill in drills.values()] == ["C2", "C3"]


def test_the_wait_is_a_rest_before_the_note() -> None:
    """In 2/4 each note has a bar: played on one, the next keys waited over on two."""
    drill = made(left([*MARCH, ("C2", "2")]))["step-1"]
    first = drill.sheet.bars[0]
    assert [(event.is_rest, event.length) for event in first.events] == [(False, 1), (True, 1)]
    assert [time for _, time, _ in heard(drill)][:5] == [0, 2, 4, 6, 8]
    assert drill.remarks[0].key == "leaps.rounds"


def test_the_second_round_is_in_time() -> None:
    drill = made(left([*MARCH, ("C2", "2")]))["step-1"]
    times = [time for _, time, _ in heard(drill)][5:]
    start = times[0]
    assert start % 2 == 0
    assert [time - start for time in times] == [0, Fraction(1, 2), 1, Fraction(3, 2), 2]
    assert [bar.system_break for bar in drill.sheet.bars].count(True) == 1


def test_the_fingers_are_those_of_the_chord() -> None:
    source = fingered(passage(left=MARCH, hands=(Hand.LEFT,)), Hand.LEFT, "5 5-3-1 5 5-3-1")
    drills = made(source)
    finger = {step: [tone.finger.number for tone in struck(drills[step])[1].tones if tone.finger]
              for step in drills}  # fmt: skip
    assert finger == {"step-1": [5], "step-2": [1], "step-3": [5, 1], "step-4": [5, 3, 1]}


def test_source_holds_what_the_step_plays() -> None:
    drill = made(left(MARCH))["step-1"]
    assert [[pitch.spelling for pitch in note.pitches] for note in drill.source] == [
        ["C2"], ["E3"], ["G1"], ["E3"],
    ]  # fmt: skip
    assert [note.offset for note in drill.source] == [0, Fraction(1, 2), 1, Fraction(3, 2)]
    assert drill.written == ((0,), (1,), (2,), (3,)) * 2


def test_identical_leaps_are_written_once() -> None:
    drill = made(left([*MARCH, *MARCH, *MARCH, ("F1", "2")]))["step-4"]
    first, second = rounds(drill)
    assert second == [
        "C2", "E3 G3 C4", "G1", "E3 G3 C4",
        "C2", "E3 G3 C4", "G1", "E3 G3 C4",
        "F1",
    ]  # fmt: skip
    assert first == ["C2", "E3 G3 C4", "G1", "E3 G3 C4", "C2", "E3 G3 C4", "F1"]


def test_repeated_chords_are_struck_once_with_a_wait_and_again_in_time() -> None:
    drill = made(left([*WALTZ, ("G1", "3")], Meter(3, 4)))["step-4"]
    first, second = rounds(drill)
    assert first == ["C2", "E3 G3 C4", "G1"]
    assert second == ["C2", "E3 G3 C4", "E3 G3 C4", "G1"]
    assert drill.written[:3] == ((0,), (1, 2), (3,))


def test_chords_go_on_to_the_end_of_the_bar() -> None:
    drill = made(left(WALTZ, Meter(3, 4)))["step-1"]
    assert rounds(drill)[1] == ["C2", "E3", "E3"] * 2
    assert not drill.left_out


def test_an_octave_bass_struck_again_stays_whole() -> None:
    notes = [("C2 C3", "1/2"), ("C2 C3", "1/2"), ("E4 G4 C5", "1/2"), ("E4 G4 C5", "1/2")]
    assert rounds(made(left(notes))["step-1"])[1] == ["C2 C3", "C2 C3", "E4", "E4"] * 2


def test_steps_that_come_out_alike_are_printed_once() -> None:
    notes = [("C2", "1/2"), ("E3 C4", "1/2")] * 2
    assert list(made(left(notes))) == ["step-1", "step-2", "step-3"]


def test_a_single_line_has_the_first_step_alone_and_its_return() -> None:
    drills = made(right(even("C4 C6 C4 C6", "1/2")))
    assert list(drills) == ["step-1"]
    assert rounds(drills["step-1"])[0] == ["C4", "C6", "C4"]


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_step_without_a_chord_is_not_called_by_a_side_of_one(language: str) -> None:
    """From note to note; the steps that reduce a chord say to which of its notes they leap."""
    (single,) = made(left([("C2", "1"), ("C4", "1")])).values()
    named = say_variant("leaps", single.called, language)
    assert single.variant == "step-1"
    assert named == {"en": "from note to note", "de": "von Ton zu Ton"}[language]
    for drill in made(left(MARCH)).values():
        assert say_variant("leaps", drill.called, language) != named


def test_single_lines_are_left_out_of_the_steps_for_chords() -> None:
    """The leap from bass to bass is drilled in step 1; the chords' steps leave it there."""
    notes = [("C2", "1"), ("E3 G3 C4", "1"), *even("E3 F3", "1"), *even("F1 F3", "1")]
    drills = made(left(notes))
    assert "F1" in rounds(drills["step-1"])[0]
    assert "F1" not in rounds(drills["step-4"])[0]


def test_octaves_are_reduced_to_the_little_finger_then_to_the_thumb() -> None:
    octaves = [("C4 C5", "1"), ("G5 G6", "1"), ("C4 C5", "1"), ("G5 G6", "1")]
    drills = made(right(octaves))
    assert list(drills) == ["step-1", "step-2", "step-3"]
    assert [rounds(drills[step])[0][:2] for step in drills] == [
        ["C5", "G6"], ["C4", "G5"], ["C4 C5", "G5 G6"],
    ]  # fmt: skip


def test_an_octave_bass_stays_whole() -> None:
    notes = [("C2 C3", "1"), ("E4 G4 C5", "1")] * 2
    assert rounds(made(left(notes))["step-1"])[0][:2] == ["C2 C3", "E4"]


def test_a_leap_over_a_rest_keeps_its_time() -> None:
    drill = made(right([("C4", "1/2"), ("rest", "1"), ("C6", "1/2"), ("C4", "2")]))["step-1"]
    times = [time for _, time, _ in heard(drill)][3:6]
    assert [time - times[0] for time in times] == [0, Fraction(3, 2), 2]


def test_a_leap_over_empty_bars_keeps_its_time() -> None:
    drill = made(right([("C4", "2"), ("rest", "4"), ("C6", "2"), ("C4", "2")]))["step-1"]
    times = [time for _, time, _ in heard(drill)][3:6]
    assert [time - times[0] for time in times] == [0, 6, 8]


def test_figures() -> None:
    """Distances from the keyboard table; a tenth is nine white keys, 212.1 mm, index 3.322."""
    source = passage(left=[*MARCH, ("C2", "2")], hands=(Hand.LEFT,))
    drill = made(fingered(source, Hand.LEFT, "5 5-3-1 5 5-3-1 5"))["step-4"]
    leap = drill.leaps[0]
    assert (leap.start, leap.end) == (0, 1)
    assert leap.distance_mm == pytest.approx(212.1, abs=0.1)
    assert leap.distance_keys == 9
    assert leap.index_of_difficulty == pytest.approx(3.322, abs=0.001)
    assert (leap.start_key, leap.landing_key) == ("white", "white")
    assert [(leap.start, leap.end) for leap in drill.leaps] == [(0, 1), (1, 2), (2, 3), (3, 4)]


def test_the_two_worst_are_flagged_in_every_step() -> None:
    notes = [*MARCH, ("G1", "1/2"), ("F3 G3 B3", "1/2"), ("Ab1", "1/2"), ("Eb3 Ab3 C4", "1/2")]
    for drill in made(left(notes)).values():
        flagged = [drill.source[leap.end] for leap in drill.leaps if leap.flagged]
        assert [(note.measure, note.offset) for note in flagged] == [
            ("42", 1),
            ("42", Fraction(3, 2)),
        ]
        marks = [sign.text for bar in drill.sheet.bars for sign in bar.directions]
        assert marks == ["I", "!", "!", "II"]


def test_every_step_says_the_same_displacement() -> None:
    source = fingered(passage(left=MARCH, hands=(Hand.LEFT,)), Hand.LEFT, "5 5-3-1 5 5-3-1")
    distances = {step: drill.leaps[0].distance_keys for step, drill in made(source).items()}
    assert distances == {"step-1": 9, "step-2": 9, "step-3": 9, "step-4": 9}


def test_both_rounds_of_a_single_leap_fill_a_line() -> None:
    for drill in made(left(WALTZ, Meter(3, 4))).values():
        assert 4 <= len(drill.sheet.bars) <= 6
        assert "leaps.once" not in {remark.key for remark in drill.remarks}


def test_figures_name_the_keys_and_their_colours() -> None:
    notes = [("Db2", "1"), ("Ab3 Db4 F4", "1"), ("C2", "1"), ("G3 C4 E4", "1")]
    for step, way in (("step-1", ("Db2", "Ab3")), ("step-2", ("Db2", "F4"))):
        leap = made(left(notes))[step].leaps[0]
        assert (leap.start_pitch.spelling, leap.end_pitch.spelling) == way
        assert (leap.start_key, leap.landing_key) == (
            "black",
            "black" if step == "step-1" else "white",
        )


def test_the_sign_of_the_worst_is_explained_where_it_stands() -> None:
    few, many = made(left(MARCH[:2])), made(left([*MARCH, ("F1", "1"), ("F3 A3 C4", "1")]))
    assert "leaps.worst" not in {remark.key for remark in few["step-1"].remarks}
    assert {remark.key for remark in many["step-4"].remarks} >= {"leaps.rounds", "leaps.worst"}


def test_the_ladder_is_in_the_sources_beat() -> None:
    drill = made(left(MARCH, goal=Goal(Fraction(1, 2), Fraction(160))))["step-1"]
    assert drill.ladder.beat_unit == Fraction(1, 2)
    assert drill.ladder.marks[-1] == 160


def test_a_named_place_is_drilled_though_the_hand_could_span_it() -> None:
    source = right(even("C4 A4 C4 A4", "1/2"))
    with pytest.raises(EngraveError, match="nothing to drill"):
        made(source)
    drills = made(source, at=(parse_range("41.1"),))
    assert rounds(drills["step-1"])[0] == ["C4", "A4"]


def test_a_named_place_is_drilled_alone() -> None:
    notes = even("C4 C6 D4 D6 E4 E6 F4 F6", "1/2")
    drills = made(right(notes), at=(parse_range("42.1"),))
    assert rounds(drills["step-1"])[0] == ["D6", "E4", "E6"]


def test_a_place_without_a_leap_is_an_error() -> None:
    with pytest.raises(Mistakes) as caught:
        made(right(even("C4 C6 C4 C6", "1/2")), at=(parse_range("47.1"), parse_range("41.3")))
    hint = "name the beat on which the hand lands; here it does at 41.1, 41.2"
    assert [(error.message, error.hint) for error in caught.value.errors] == [
        (f"leaps: no marked hand moves to another key at {place}", hint)
        for place in ("47.1", "41.3")
    ]


def test_beats_of_a_pickup_count_from_its_first_note() -> None:
    source = right(even("C4 C6 C4 C6 D4 C6", "1/2"), pickup=Fraction(1))
    drills = made(source, at=(parse_range("41.1"),))
    assert rounds(drills["step-1"])[0] == ["C4", "C6"]


def test_nothing_to_drill() -> None:
    with pytest.raises(EngraveError, match="41–42"):
        made(right(even("C4 D4 E4 F4", "1/2")))
    assert not FAMILY.need(right(even("C4 D4 E4 F4", "1/2")))
    assert FAMILY.need(left(MARCH))


def test_a_pickup_is_filled_up_in_the_second_round() -> None:
    source = left([("C2", "1"), *WALTZ[1:], ("C2", "1"), *WALTZ[1:]], Meter(3, 4),
                  pickup=Fraction(1))  # fmt: skip
    for drill in made(source).values():
        assert all(bar.is_full and not bar.implicit for bar in drill.sheet.bars)
    second = next(bar for bar in made(source)["step-1"].sheet.bars if bar.system_break)
    assert [event.is_rest for event in second.events] == [True, False]
    assert second.events[1].offset == 2


def test_what_takes_no_part_is_left_out_and_said() -> None:
    notes = [*even("C4 D4 E4 F4 G4 A4 B4 C5", "1/4"), ("C4", "1"), ("C6", "1")]
    drill = made(right(notes))["step-1"]
    assert rounds(drill)[0] == ["C4", "C6"]
    assert [remark.key for remark in drill.left_out] == ["left-out.outside-the-leaps"]
    assert dict(drill.left_out[0].values)["count"] == 8


def test_a_tremolo_is_struck_once_and_that_is_said() -> None:
    source = left([*MARCH, ("C2", "2")])
    first, *bars = source.sheet.bars
    events = [
        replace(e, tremolo="3" if e.offset in (Fraction(1, 2), Fraction(3, 2)) else None)
        for e in first.events
    ]
    sheet = replace(source.sheet, bars=(replace(first, events=tuple(events)), *bars))
    source = replace(source, sheet=sheet)
    for drill in made(source).values():
        assert [say(remark) for remark in drill.left_out] == ["2 tremolos"]


def test_far_apart_leaps_stand_apart() -> None:
    quiet = even("C4 D4 E4 F4", "1/2")
    notes = [("C4", "1"), ("C6", "1"), *even("B5 A5 G5 F5 E5 D5 C5 B4", "1/2"), *quiet,
             ("D4", "1"), ("D6", "1")]  # fmt: skip
    drill = made(right(notes))["step-1"]
    doubles = [
        number for number, bar in enumerate(drill.sheet.bars) if bar.barline == "light-light"
    ]
    assert rounds(drill)[1] == ["C4", "C6", "D4", "D6"]
    assert doubles == [1, 3, 4]


@pytest.mark.parametrize(
    ("meter", "pace"), [("2/4", 2), ("3/4", 3), ("4/4", 2), ("2/2", 4), ("6/8", 3), ("3/8", "3/2")]
)
def test_waits_fill_the_bars_of_the_passages_meter(meter: str, pace: int | str) -> None:
    beats, beat_type = map(int, meter.split("/"))
    drill = made(left([*MARCH, *MARCH, *MARCH], Meter(beats, beat_type)))["step-1"]
    assert heard(drill)[1][1] == Fraction(pace)
    assert drill.meter == Meter(beats, beat_type)
    assert all(bar.is_full for bar in drill.sheet.bars)


def test_keys_of_the_passage() -> None:
    drill = made(left(MARCH, key=KeySignature(-3)))["step-1"]
    assert {bar.key for bar in drill.sheet.bars} == {KeySignature(-3)}


def test_measure_numbers_in_both_rounds() -> None:
    drill = made(left([*MARCH, ("F1", "1"), ("F3 A3 C4", "1")]))["step-1"]
    assert [event.label for event in struck(drill) if event.label] == ["41", "42"] * 2


def test_ids_of_both_hands() -> None:
    source = suggested(passage(even("C4 C6 C4 C6", "1/2"), MARCH, hands=(Hand.RIGHT, Hand.LEFT)))
    ids = [drill.id for drill in FAMILY.unasked(source).drills]
    assert ids[0] == "turn.leaps.step-1.right"
    assert "turn.leaps.step-4.left" in ids
    assert len(set(ids)) == len(ids)


chords = st.lists(
    st.sampled_from([f"{step}{octave}" for octave in (2, 3, 4, 5) for step in "CDEFGAB"]),
    min_size=1, max_size=3, unique=True,
).map(lambda names: " ".join(sorted(names, key=lambda name: Pitch.parse(name).midi)))  # fmt: skip
notes = st.tuples(
    st.one_of(chords, st.just("rest")), st.sampled_from(["1/4", "1/3", "1/2", "1", "3/2"])
)
meters = st.sampled_from([Meter(2, 4), Meter(3, 4), Meter(4, 4), Meter(6, 8), Meter(3, 8)])


@given(st.lists(notes, min_size=2, max_size=20), meters, st.sampled_from(list(Hand)))
@settings(max_examples=80, deadline=None)
def test_whatever_the_line(line: list[tuple[str, str]], meter: Meter, hand: Hand) -> None:
    source = right(line, meter) if hand is Hand.RIGHT else left(line, meter)
    try:
        drills = FAMILY.unasked(source).drills
    except EngraveError:
        reject()
    onsets = {(onset.measure, onset.offset): onset for onset in source.lines[hand]}
    for drill in drills:
        assert all(bar.is_full for bar in drill.sheet.bars)
        assert {index for onset in drill.written for index in onset} == set(
            range(len(drill.source))
        )
        times = [(int(note.measure), note.offset) for note in drill.source]
        assert times == sorted(set(times))
        for note in drill.source:
            assert set(note.pitches) <= set(onsets[note.measure, note.offset].pitches)
        for (name, _, _), onset in zip(heard(drill), drill.written, strict=True):
            asked = {pitch for index in onset for pitch in drill.source[index].pitches}
            assert {Pitch.parse(each) for each in name.split()} == asked
        assert all(leap.start < leap.end < len(drill.source) for leap in drill.leaps)
        assert drill.leaps


def test_a_step_in_which_nothing_leaps_is_left_out() -> None:
    """From an octave onto its upper key with the little finger: the thumb's note is that key."""
    source = passage(left=[("B2 B3", "1"), ("B3", "1")], hands=(Hand.LEFT,))
    drills = made(fingered(source, Hand.LEFT, "5-1 5"))
    assert "step-2" not in drills
    assert rounds(drills["step-1"])[0][:2] == ["B2", "B3"]
