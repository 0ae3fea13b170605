"""Accents, bursts, chain, staccato: what each changes and what it leaves alone."""

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from engrave.drills import accents, bursts, chain, hands_apart, rhythms, staccato
from engrave.drills.family import Family
from engrave.errors import EngraveError
from engrave.music.drill import Drill
from engrave.music.notes import Hand, Pitch, Value
from engrave.music.sheet import Event, Meter, Tone
from engrave.music.tempo import Goal
from engrave.passage.model import Passage
from engrave.passage.onsets import onsets
from tests.drills.builders import even, heard, passage, sheet
from tests.drills.sources import RUN

SOURCE = passage([*RUN, ("A5", "2")], [("G3", "1"), ("B3 D4", "1"), ("A3", "2")])
SIX_EIGHT = passage([*even("G4 A4 B4 C5 D5 E5", "1/2"), ("F5", "3")], meter=Meter(6, 8))


def made(family: Family[Any], source: Passage, **options: Any) -> dict[str, Drill]:
    return {drill.variant: drill for drill in family.make(source, family.options(**options)).drills}


def accented(drill: Drill) -> list[int]:
    return [event.source[0] for _, _, event in drill.sheet.timed()
            if "accent" in event.articulations]  # fmt: skip


def test_the_teachers_goal_stands_and_one_that_a_drill_derives_is_a_mark_of_the_scale() -> None:
    """The traditional scale has 120 and 126, 160 and 168 (dictionaries of music, metronome)."""
    source = replace(SOURCE, goal=Goal(Fraction(1), Fraction(123)))
    (drill,) = made(staccato.FAMILY, source).values()
    assert drill.ladder.marks[-1] == 123
    # Triplets at 164 a quarter are as quick as sixteenths at 123; of two as near the lower.
    drill = made(rhythms.FAMILY, source)["in-threes"]
    assert drill.ladder.marks[-1] == 160


def test_accents_fall_on_each_note_of_the_group_in_turn() -> None:
    drills = made(accents.FAMILY, SOURCE)
    assert {name: accented(drill) for name, drill in drills.items()} == {
        "accent-1": [0, 4], "accent-2": [1, 5], "accent-3": [2, 6], "accent-4": [3, 7],
    }  # fmt: skip
    assert list(made(accents.FAMILY, SIX_EIGHT)) == ["accent-1", "accent-2", "accent-3"]


def test_a_voice_that_is_held_below_the_run_keeps_its_own_signs() -> None:
    held = Event(
        Fraction(0), Fraction(2), Value("half"), (Tone(Pitch.parse("C4")),), voice=2,
        articulations=("tenuto",),
    )  # fmt: skip
    cut = sheet([*RUN, ("A5", "2")])
    head = replace(cut.bars[0], events=(*cut.bars[0].events, held))
    voices = replace(cut, bars=(head, *cut.bars[1:]))
    source = replace(SOURCE, sheet=voices, lines={hand: onsets(voices, hand) for hand in Hand})
    drill = made(accents.FAMILY, source)["accent-1"]
    signs = [(e.voice, e.articulations) for e in drill.sheet.bars[0].events if e.offset == 0]
    assert signs == [(1, ("accent",)), (2, ("tenuto",))]


def test_accents_leave_values_as_written() -> None:
    drill = made(accents.FAMILY, SOURCE)["accent-2"]
    assert [(name, str(length)) for name, _, length in heard(drill)] == [*RUN, ("A5", "2")]


def test_burst_of_four_stops_on_every_beat_of_the_source() -> None:
    drill = made(bursts.FAMILY, SOURCE)["burst-4"]
    assert [(name, str(length)) for name, _, length in heard(drill)] == [
        *RUN[:4], ("D5", "1"), *RUN[4:], ("A5", "2"),
    ]  # fmt: skip
    assert drill.written == tuple((i,) for i in (0, 1, 2, 3, 4, 4, 5, 6, 7, 8))


@pytest.mark.parametrize("size", [2, 4])
def test_every_stop_is_on_a_bar_line_and_every_bar_full(size: int) -> None:
    drill = made(bursts.FAMILY, SOURCE)[f"burst-{size}"]
    assert all(bar.is_full for bar in drill.sheet.bars if not bar.implicit)
    assert {index for group in drill.written for index in group} == set(range(9))
    first_notes = [next(e for e in bar.events if e.is_struck) for bar in drill.sheet.bars[1:]]
    assert all(event.offset == 0 for event in first_notes)


def test_a_burst_stops_where_the_beat_of_the_source_is() -> None:
    off_beat = passage([("rest", "1/4"), *even("A4 B4 C5 D5 E5 F#5 G5", "1/4"), ("A5", "2")])
    drill = made(bursts.FAMILY, off_beat)["burst-4"]
    assert heard(drill)[:4] == [
        ("A4", Fraction(0), Fraction(1, 4)), ("B4", Fraction(1, 4), Fraction(1, 4)),
        ("C5", Fraction(1, 2), Fraction(1, 4)), ("D5", Fraction(3, 4), Fraction(1)),
    ]  # fmt: skip


def test_chain_runs_on_into_the_next_beat() -> None:
    drill = made(chain.FAMILY, SOURCE)["by-beat-forward"]
    assert [(n, str(v)) for n, _, v in heard(drill)][:5] == [*RUN[:4], ("D5", "1")]
    assert all(bar.is_full for bar in drill.sheet.bars)
    assert drill.written[:5] == ((0,), (1,), (2,), (3,), (4,))


def test_chain_backward_begins_with_the_last_link() -> None:
    drills = made(chain.FAMILY, SOURCE, direction="both", by="measure")
    assert list(drills) == ["by-measure-forward", "by-measure-backward"]
    assert heard(drills["by-measure-backward"])[0][0] == "A5"


@pytest.mark.parametrize(
    ("meter", "expected"),
    [
        (Meter(2, 4), "2/4"), (Meter(6, 8), "6/8"), (Meter(12, 16), "6/16"),
        (Meter(2, 2), "2/2"), (Meter(3, 8), "2/8"),
    ],
)  # fmt: skip
def test_a_link_of_a_beat_is_a_bar_of_two_of_the_source_s_beats(
    meter: Meter, expected: str
) -> None:
    """A beat of three is dotted (any theory primer: compound meter)."""
    notes = even(" ".join(["C5 D5 E5"] * 4), str(meter.beat / 3))
    drill = made(chain.FAMILY, passage(notes, meter=meter), by="beat")["by-beat-forward"]
    assert str(drill.meter) == expected


def test_chain_of_one_link_is_refused() -> None:
    with pytest.raises(EngraveError, match="one measure long"):
        made(chain.FAMILY, passage(RUN), by="measure")


def test_chain_keeps_hands_together() -> None:
    both = passage(
        [*RUN, ("A5", "2")], [("G3", "1"), ("B3 D4", "1"), ("A3", "2")], hands=tuple(Hand)
    )
    drill = made(chain.FAMILY, both)["by-beat-forward"]
    times = [(name, time) for name, time, _ in heard(drill)]
    assert ("G4", Fraction(0)) in times
    assert ("G3", Fraction(0)) in times
    assert ("B3 D4", Fraction(1)) in times


def test_staccato_dots_every_note() -> None:
    drill = made(staccato.FAMILY, SOURCE)["in-time"]
    events = [event for _, _, event in drill.sheet.timed() if event.is_struck]
    assert all(event.articulations == ("staccato",) for event in events)
    assert len(events) == len(drill.source) == 9


def test_hands_apart_prints_each_hand_on_its_own_staff() -> None:
    both = passage([*RUN, ("A5", "2")], [("G3", "2"), ("A3", "2")], hands=tuple(Hand))
    drills = made(hands_apart.FAMILY, both)
    assert [(name, drill.sheet.staves) for name, drill in drills.items()] == [
        ("right", (1,)), ("left", (2,)),
    ]  # fmt: skip


def test_an_accent_that_the_group_has_no_place_for_is_refused() -> None:
    with pytest.raises(EngraveError, match="groups have 3 notes"):
        made(accents.FAMILY, SIX_EIGHT, variants=("accent-4",))


def test_bursts_longer_than_the_run_are_refused() -> None:
    with pytest.raises(EngraveError, match="longest run has 8 notes"):
        made(bursts.FAMILY, SOURCE, sizes=(12,))


def test_accents_follow_the_groups_of_the_source() -> None:
    """A quintuplet has five places for the accent."""
    fives = passage([*even("G4 A4 B4 C5 D5 E5 F#5 G5 A5 B5", "1/5"), ("C6", "2")])
    drills = made(accents.FAMILY, fives)
    assert list(drills) == [f"accent-{place}" for place in range(1, 6)]
    assert accented(drills["accent-5"]) == [4, 9]


def test_one_note_or_the_whole_run_is_no_burst() -> None:
    assert list(made(bursts.FAMILY, SOURCE)) == ["burst-2", "burst-4"]


def test_a_growing_chain_adds_link_to_link() -> None:
    """1, 1–2, 1–3: the whole of four beats is the passage itself, and left to it."""
    source = passage([*RUN, *even("A5 G5 F#5 E5 D5 C5 B4 A4", "1/4")])
    drill = made(chain.FAMILY, source, by="beat", grow=True)["by-beat-forward-grow"]
    names = [name for name, _, _ in heard(drill)]
    assert names[:5] == ["G4", "A4", "B4", "C5", "D5"]
    assert names[5:14] == ["G4", "A4", "B4", "C5", "D5", "E5", "F#5", "G5", "A5"]
    assert len(names) == 5 + 9 + 13
    assert all(bar.is_full for bar in drill.sheet.bars)


def test_a_growing_chain_may_begin_at_the_end() -> None:
    source = passage([*RUN, ("A5", "2"), ("G5", "2")])
    drills = made(chain.FAMILY, source, by="measure", grow=True, direction="backward")
    names = [name for name, _, _ in heard(drills["by-measure-backward-grow"])]
    assert names == ["A5", "G5"]


def test_a_link_at_a_tied_note_strikes_what_is_held_and_no_more() -> None:
    """Of the chord in the measure before, the top is tied on: the lower keys are let go there."""
    whole = passage([("C5 E5 G5", "2"), ("G5", "1"), ("A5", "1"), ("B5", "2")])
    lower, held = (
        replace(tone, length=Fraction(2 if tone.pitch.step != "G" else 3))
        for tone in whole.lines[Hand.RIGHT][0].tones[1:]
    )
    first, _, *others = whole.lines[Hand.RIGHT]
    tied = replace(first, tones=(first.tones[0], lower, held))
    drill = made(
        chain.FAMILY, replace(whole, lines={**whole.lines, Hand.RIGHT: (tied, *others)}),
        by="measure",
    )["by-measure-forward"]  # fmt: skip
    assert [names for names, _, _ in heard(drill)] == ["C5 E5 G5", "G5", "A5", "B5"]
    assert [len(note.pitches) for note in drill.source] == [3, 1, 1, 1]


@pytest.mark.parametrize(
    ("left", "goal", "share"),
    [
        ([("C3", "1/2")] * 8, 90, 1),  # two a beat, three a second: each hand has enough to do
        ([("C3", "1/2")] * 8, 89, None),
        ([("C3", "1/2")] * 4 + [("C3", "1")] * 2, 120, Fraction(1, 2)),
        ([("C3", "1")] * 4, 208, None),  # one a beat is not busy
        ([("C3", "4")], 120, None),
    ],
)
def test_hands_apart_where_both_are_busy(
    left: list[tuple[str, str]], goal: int, share: Fraction | None
) -> None:
    """Two strokes a beat and three a second of either hand (a judgement, no source)."""
    right = [("C5", "1/2")] * 8
    tempo = Goal(Fraction(1), Fraction(goal))
    found = hands_apart.FAMILY.need(passage(right, left, hands=tuple(Hand), goal=tempo))
    assert (found and found.share) == share
    alone = hands_apart.FAMILY.need(passage(right, left, goal=tempo))
    assert alone is None
