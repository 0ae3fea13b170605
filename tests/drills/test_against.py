"""Two rhythms at once: the composite by the arithmetic of least common multiples, and the steps."""

from dataclasses import replace
from fractions import Fraction
from math import gcd
from pathlib import Path

import pytest

from engrave.drills.against import FAMILY
from engrave.drills.against.composite import taps
from engrave.drills.against.meeting import meetings, principal
from engrave.errors import EngraveError
from engrave.music.notes import Hand
from engrave.music.sheet import Meter
from engrave.music.tempo import Goal
from engrave.notation import musicxml
from engrave.passage.model import Passage
from engrave.pipeline.stages import build
from engrave.remarks import Remark
from tests.checks.all_checks import output_findings
from tests.checks.manifest import read_output
from tests.drills.builders import even, heard, passage, sheet
from tests.drills.fingers import suggested

LINES = {count: "C5 D5 E5 F5 G5 A5 B5 C6"[: 3 * count - 1] for count in range(2, 9)}
NOTES = "C5 D5 E5 F5 G5 A5 B5 C6"
BASSES = "C3 D3 E3 F3 G3"


def against(right: int, left: int, times: int = 2) -> Passage:
    """So many notes of the right hand against so many of the left, in a quarter each time."""
    upper = even(" ".join(NOTES.split()[:right] * times), str(Fraction(1, right)))
    lower = even(" ".join(BASSES.split()[:left] * times), str(Fraction(1, left)))
    return suggested(passage(upper, lower, hands=(Hand.RIGHT, Hand.LEFT)))


@pytest.mark.parametrize(("right", "left"), [(3, 2), (4, 3), (5, 4), (5, 3), (7, 4), (2, 3)])
def test_the_composite(right: int, left: int) -> None:
    """m against n strikes m + n - gcd times in lcm(m, n) steps; both where both fractions meet."""
    units = right * left // gcd(right, left)
    found = taps(right, left, units)
    assert len(found) == right + left - gcd(right, left)
    assert sum(tap.length for tap in found) == units
    for tap in found:
        part = Fraction(tap.unit, units)
        assert tap.right is ((part * right).denominator == 1)
        assert tap.left is ((part * left).denominator == 1)


@pytest.mark.parametrize(("right", "left"), [(3, 2), (4, 3), (5, 4), (5, 3), (7, 4)])
def test_the_tapped_step_is_written_on_a_grid_of_sixteenths(right: int, left: int) -> None:
    drill = {d.variant: d for d in FAMILY.unasked(against(right, left)).drills}["step-1"]
    assert drill.pitches == "tapped"
    assert drill.meter.length == Fraction(right * left, 4)
    assert drill.stretch == Fraction(right * left, 4)
    words = [sign.text for sign in drill.sheet.bars[0].directions]
    assert words.count("R") == right
    assert words.count("L") == left
    times = [event.offset for event in drill.sheet.bars[0].events if event.source]
    parts = {Fraction(n, right) for n in range(right)} | {Fraction(n, left) for n in range(left)}
    assert times == sorted(part * drill.meter.length for part in parts)


@pytest.mark.parametrize(
    ("right", "left", "beamed"),
    [
        (3, 2, "8 begin, 16 end backward, 16 begin forward, 8 end"),
        (4, 3, "8. begin, 16 end backward, 8 begin, 8 end, 16 begin forward, 8. end"),
        (
            *(5, 3),
            "8. begin, 8 end, 16 begin forward, 8. continue, 16 end backward, 8 begin, 8. end",
        ),
        (5, 4, "4, 16, 8. begin, 8 end, 8 begin, 8. end, 16, 4"),
    ],
)
def test_the_composite_is_beamed_by_the_slower_hand(right: int, left: int, beamed: str) -> None:
    """A beam over each of its notes; a sixteenth beside longer ones has a hook towards them."""
    (drill,) = FAMILY.make(against(right, left), FAMILY.options(steps=(1,))).drills
    types = {"quarter": "4", "eighth": "8", "16th": "16"}
    assert beamed.split(", ") == [
        " ".join(
            [
                types[event.value.type] + "." * event.value.dots,
                *(sign.removesuffix(" hook") for sign in event.beams or ()),
            ]
        )
        for event in drill.sheet.bars[0].events
    ]


def test_chords_are_played_on_their_outer_keys() -> None:
    upper = [("C5 G5", "1/3"), ("D5", "1/3"), ("E5", "1/3"), ("C5", "1")]
    lower = [("C3 G3", "1/2"), ("D3", "1/2"), ("C3", "1")]
    source = suggested(passage(upper, lower, hands=(Hand.RIGHT, Hand.LEFT)))
    (drill,) = FAMILY.make(source, FAMILY.options(steps=(2,))).drills
    assert {name for name, _, _ in heard(drill)} == {"G5", "C3"}


def struck(source: Passage, right: int, left: int) -> Passage:
    """The passage with so many even onsets of each hand in its first quarter."""
    lines = {}
    for hand, count in ((Hand.RIGHT, right), (Hand.LEFT, left)):
        first = source.lines[hand][0]
        lines[hand] = tuple(replace(first, time=Fraction(n, count)) for n in range(count))
    return replace(source, lines=lines)


@pytest.mark.parametrize(
    ("right", "left", "counted"), [(12, 5, True), (4, 15, True), (7, 9, False)]
)
def test_nobody_counts_more_than_sixty_steps(right: int, left: int, counted: bool) -> None:
    """12 and 5, 4 and 15 meet on a grid of 60, 7 and 9 on one of 63 (a judgement, no source)."""
    assert len(meetings(struck(against(3, 2), right, left))) == counted


def test_where_the_hands_meet_again() -> None:
    """Three against two once, four against three twice: the latter is the one to begin with."""
    upper = [*even("C5 D5 E5", "1/3"), ("C5", "1"), *even("C5 D5 E5 F5 C5 D5 E5 F5", "1/4")]
    lower = [*even("C3 G3", "1/2"), ("C3", "1"), *even("C3 D3 E3 C3 D3 E3", "1/3")]
    source = passage(upper, lower, hands=(Hand.RIGHT, Hand.LEFT))
    found = meetings(source)
    assert [(each.start, each.end, each.bar, each.ratio) for each in found] == [
        (0, 1, 0, (3, 2)), (2, 3, 1, (4, 3)), (3, 4, 1, (4, 3)),
    ]  # fmt: skip
    assert principal(found) == found[1]
    need = FAMILY.need(source)
    assert need is not None
    assert (need.share, need.urgency) == (Fraction(3, 4), 5)
    assert need.why == Remark.of("why.against", right=4, left=3, measure="42")
    assert [drill.remarks[0] for drill in FAMILY.unasked(source).drills] == [
        Remark.of(f"against.step-{step}", right=4, left=3) for step in (1, 2, 3, 4)
    ]


def test_a_stretch_of_two_beats_is_found_where_no_beat_is_divided() -> None:
    """Quarter triplets over quarters: three in two beats, twice in a bar."""
    source = passage(
        even("C5 D5 E5 C5 D5 E5", "2/3"), even("C3 G3 C3 G3", "1"), Meter(4, 4),
        hands=(Hand.RIGHT, Hand.LEFT),
    )  # fmt: skip
    assert [(each.start, each.span) for each in meetings(source)] == [(0, 2), (2, 2)]


def test_step_four_of_a_single_meeting_is_refused() -> None:
    source = against(3, 2, times=1)
    assert [drill.variant for drill in FAMILY.unasked(source).drills] == [
        "step-1", "step-2", "step-3",
    ]  # fmt: skip
    with pytest.raises(EngraveError, match="step 4 needs several"):
        FAMILY.make(source, FAMILY.options(steps=(4,)))


def test_three_against_two_on_one_key() -> None:
    drill = {d.variant: d for d in FAMILY.unasked(against(3, 2)).drills}["step-2"]
    assert drill.pitches == "one-key"
    assert {name for name, _, _ in heard(drill)} == {"C5", "C3"}
    right = [(time, length) for name, time, length in heard(drill) if name == "C5"]
    assert right[:3] == [(Fraction(n, 2), Fraction(1, 2)) for n in range(3)]


def test_one_beat_and_then_all_of_them_as_written() -> None:
    drills = {d.variant: d for d in FAMILY.unasked(against(3, 2)).drills}
    assert list(drills) == ["step-1", "step-2", "step-3", "step-4"]
    third = [name for name, time, _ in heard(drills["step-3"]) if time < 1]
    assert third == ["C5", "C3", "D5", "D3", "E5"]
    assert len(drills["step-4"].source) > len(drills["step-1"].source)


def test_a_hemiola_fills_a_bar() -> None:
    source = passage(
        even("C5 D5 E5", "1"), even("C3 G3", "3/2"), Meter(3, 4), hands=(Hand.RIGHT, Hand.LEFT)
    )
    (found,) = meetings(source)
    assert found.ratio == (3, 2)
    assert found.span == 3


def test_two_to_one_is_nothing_against() -> None:
    source = suggested(
        passage(even("C5 D5 E5 F5", "1/2"), even("C3 D3", "1"), hands=(Hand.RIGHT, Hand.LEFT))
    )
    assert FAMILY.need(source) is None
    with pytest.raises(EngraveError, match="nowhere do the hands divide a beat differently"):
        FAMILY.unasked(source)


RATIOS = ((3, 2), (4, 3), (5, 4), (5, 3), (7, 4))


def test_what_is_built_is_read_back(tmp_path: Path) -> None:
    """By other readers, from the files: onsets, hands and keys of every step."""
    upper = [note for right, _ in RATIOS for note in even(f"{LINES[right]} {LINES[right]}",
             str(Fraction(1, right)))]  # fmt: skip
    lower = [note for _, left in RATIOS for note in even(
             " ".join([*BASSES.split()[:left]] * 2), str(Fraction(1, left)))]  # fmt: skip
    score = tmp_path / "against.musicxml"
    score.write_bytes(musicxml(sheet(upper, lower, first_measure=1), title="Against"))
    passages = "".join(
        f"  - {{measures: {number}, drills: [against]}}\n" for number in range(1, len(RATIOS) + 1)
    )
    marks = tmp_path / "against.yaml"
    marks.write_text(f"score: against.musicxml\ntempo: {{goal: 60}}\npassages:\n{passages}")
    build(marks, tmp_path / "out")
    assert output_findings(tmp_path / "out" / "against", score) == []
    made = {drill.variant for drill in read_output(tmp_path / "out" / "against").drills}
    assert made == {"whole", "step-1", "step-2", "step-3", "step-4"}


@pytest.mark.parametrize(("goal", "beat", "clicks"), [(80, "1", 1), (76, "1/2", 2)])
def test_a_slow_ladder_of_eighths_clicks_twice_in_a_bar_of_the_grid(
    goal: int, beat: str, clicks: int
) -> None:
    """Half of 76 is slower than a metronome goes: the ladder is counted in eighths."""
    source = replace(against(3, 2), goal=Goal(Fraction(1), Fraction(goal)))
    step = FAMILY.unasked(source).drills[0]
    assert step.ladder.beat_unit == Fraction(beat)
    assert step.remarks[1] == Remark.of("against.stretched", count=clicks)


@pytest.mark.parametrize(("count", "needed"), [(9, True), (11, False)])
def test_a_run_over_a_few_notes_is_asked_for_and_never_suggested(count: int, needed: bool) -> None:
    """Over four eighths nine notes are counted out; eleven are played freely."""
    upper = even("C5 D5 E5 F5 G5 A5 B5 C6 D6 E6 F6"[: 3 * count - 1], str(Fraction(2, count)))
    source = suggested(passage(upper, even("C3 D3 E3 F3", "1/2"), hands=(Hand.RIGHT, Hand.LEFT)))
    assert (FAMILY.need(source) is not None) is needed
    assert FAMILY.unasked(source).drills
