"""Which drills a passage gets where nobody asked: few, and none for nothing."""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from engrave.drills import FAMILIES, against, blocks, bursts, chain, leaps, outline
from engrave.drills.choosing import Chosen, choose, everything
from engrave.drills.sifting import MOST, heard, without_near_twins, without_twins
from engrave.music.drill import Drill
from engrave.music.notes import Hand, Tuplet
from engrave.music.sheet import Moment, Span
from engrave.music.tempo import Goal
from engrave.passage.model import Passage
from engrave.pipeline.checking import check
from engrave.pipeline.drilling import Drilled
from engrave.words import LANGUAGES, say
from tests.drills.builders import even, passage
from tests.drills.fingers import fingered, suggested
from tests.drills.sources import BOTH
from tests.sweep import SHORT
from tests.works import Work, corpus

AS_WRITTEN, *OTHERS = FAMILIES
RUN = [*even("G4 A4 B4 C5 D5 E5 F#5 G5", "1/4"), ("A5", "2")]
WALTZ = [("C2", "1/2"), ("E3 G3 C4", "1/2"), ("F1", "1/2"), ("C3 F3 A3", "1/2")]
FAST = Goal(Fraction(1), Fraction(120))


def written(source: Passage) -> Drill:
    return AS_WRITTEN.unasked(source).drills[0]


def chosen(source: Passage) -> Chosen:
    return choose(source, written(source), OTHERS)


def marked(folder: Path, file: str, measures: str, hand: str, goal: int = 80) -> Drilled:
    """A passage of a corpus work as its marks file would have it drilled."""
    asked = f"tempo: {{goal: {goal}}}\npassages:\n  - {{measures: {measures}, hand: {hand}}}\n"
    (drilled,) = check(Work("marks", corpus() / file, asked).write(folder)).passages
    return drilled


def families(found: Chosen) -> list[str]:
    return list(dict.fromkeys(drill.family for drill in found.drills))


def leaping() -> Passage:
    source = passage(left=[*WALTZ, *WALTZ], hands=(Hand.LEFT,), goal=FAST)
    return fingered(source, Hand.LEFT, "5 5-2-1 5 5-2-1 5 5-2-1 5 5-2-1")


def test_a_fast_run_gets_rhythms_in_pairs() -> None:
    found = chosen(suggested(passage(RUN, goal=FAST)))
    assert families(found) == ["rhythms"]
    assert 3 <= len(found.drills) <= MOST
    assert [why.key for why in found.why] == ["why.rhythms"]


def test_a_slow_run_is_no_run_to_drill() -> None:
    found = chosen(suggested(passage(RUN, goal=Goal(Fraction(1), Fraction(50)))))
    assert families(found) == ["chain"]
    assert [why.key for why in found.why] == ["why.no-more"]


FOUR = [*even("A4 B4 C5 B4", "1/4"), ("A4", "1/2"), ("rest", "1/2")]
OTHER_FOUR = [*even("C5 D5 E5 F5", "1/4"), ("E5", "1/2"), ("rest", "1/2")]
"""Four quick notes that land, as in many a first study, and four others."""


@pytest.mark.parametrize(
    ("notes", "wanted"),
    [
        ([*FOUR, *OTHER_FOUR], ["long-short", "short-long", "by-beat-forward"]),
        (FOUR, ["by-beat-forward"]),
        ([*FOUR, *even("C5 D5 E5 F5", "1/4"), ("rest", "1")], ["by-beat-forward"]),
        ([*FOUR, *OTHER_FOUR, *[("A4", "1"), ("B4", "1")] * 3], ["by-measure-forward"]),
    ],
)
def test_short_runs_that_land_are_drilled_in_twos(
    notes: list[tuple[str, str]], wanted: list[str]
) -> None:
    """Eight notes together, as of a long run, in a quarter of the beats; none that breaks off.

    A pattern of three notes hardly comes twice in four (common practice, no source).
    """
    found = chosen(suggested(passage(notes, goal=FAST)))
    assert [drill.variant for drill in found.drills] == wanted
    dropped = [each.drill.variant for each in found.dropped if each.why.key == "never.short-runs"]
    if len(wanted) > 1:
        assert dropped == ["short-short-long", "long-short-short", "in-threes"]
        assert say(found.why[0]) == (
            "two short runs, faster than four a second at the goal (from measure 41 on)"
        )
    slow = chosen(suggested(passage(notes, goal=Goal(Fraction(1), Fraction(50)))))
    assert families(slow) == ["chain"]


def test_short_runs_of_one_hand_are_told_beside_a_long_one_of_the_other() -> None:
    left = even("G2 A2 B2 C3 D3 E3 F3 G3", "1/4")
    found = chosen(
        suggested(passage([*FOUR, *OTHER_FOUR], [*left, ("A3", "2")], hands=BOTH, goal=FAST))
    )
    assert say(found.why[0]) == (
        "two short runs in the right hand (from measure 41 on) and a run of 8 notes in the left "
        "hand (measure 41), faster than four a second at the goal"
    )
    assert "never.short-runs" not in {each.why.key for each in found.dropped}


def test_chords_parted_by_rests_are_no_chain() -> None:
    """No link runs on into the next; with both hands each is played by itself."""
    chords = [("C4 E4 G4", "1"), ("rest", "1")] * 3 + [("D4 F4 A4", "1")]
    basses = [("C3", "1"), ("rest", "1")] * 3 + [("D3", "1")]
    found = chosen(suggested(passage(chords, basses, hands=BOTH, goal=FAST)))
    assert families(found) == ["hands-apart"]
    assert "never.no-links" in {each.why.key for each in found.dropped}
    joined = [("C4 E4 G4", "1"), ("D4 F4 A4", "1"), *chords[2:]]
    assert families(chosen(suggested(passage(joined, basses, hands=BOTH, goal=FAST)))) == ["chain"]


def test_a_chain_goes_by_measures_where_no_note_is_on_the_beat(tmp_path: Path) -> None:
    """Thirteen notes in the time of eight, over two beats of measure 5, as they are printed."""
    drilled = marked(tmp_path, "cpebach/h186.mxl", "4-5", "right", goal=30)
    (chained,) = drilled.numbered
    assert (chained.family, chained.variant) == ("chain", "by-measure-forward")
    played = [e for _, _, e in chained.sheet.timed() if e.value.tuplet == Tuplet(13, 8)]
    assert [event.length for event in played] == [Fraction(2, 13)] * 13
    assert not drilled.notices


def test_what_no_chain_can_print_is_told_and_the_hands_are_taken_apart(tmp_path: Path) -> None:
    """The same two beats alone; one hand alone is played short, finger by finger."""
    drilled = marked(tmp_path, "cpebach/h186.mxl", "5.1-5.2", "both", goal=30)
    assert [drill.variant for drill in drilled.numbered] == ["right", "left"]
    assert say(drilled.why[0]).endswith("second voices: each hand by itself")
    (told,) = drilled.notices
    assert told.source == drilled.passage.source
    assert told.message == (
        "Chain: not written, because the notes of one beat would fall on no division of it that "
        "can be read (measure 5)."
    )
    alone = marked(tmp_path, "cpebach/h186.mxl", "5.1-5.2", "right", goal=30)
    assert [drill.family for drill in alone.numbered] == ["staccato"]


def test_leaps_come_first_in_four_steps() -> None:
    found = chosen(leaping())
    assert [drill.variant for drill in found.drills if drill.family == "leaps"] == [
        "step-1", "step-2", "step-3", "step-4",
    ]  # fmt: skip
    assert found.why[0].key == "why.leaps"


def test_why_names_each_hand_that_has_drills() -> None:
    """Both hands run; then the left hand's run is too short to be a reason."""
    left = even("G2 A2 B2 C3 D3 E3 F3 G3", "1/4")
    both = suggested(passage(RUN, [*left, ("A3", "2")], hands=BOTH, goal=FAST))
    (why, *_) = chosen(both).why
    assert say(why) == (
        "a run of 8 notes in the right hand (measure 41) and a run of 8 notes in the left hand "
        "(measure 41), faster than four a second at the goal"
    )
    one = suggested(passage(RUN, [("G2", "2"), ("A2", "2")], hands=BOTH, goal=FAST))
    assert say(chosen(one).why[0]).startswith("a run of 8 notes in the right hand (measure 41), ")


def test_what_takes_notes_from_each_other_says_that_slurs_are_gone() -> None:
    """A slur over the first beat of broken chords, in every family that cuts it."""
    source = suggested(passage(even("C4 E4 G4 C5 D4 G4 B4 D5", "1/4"), goal=FAST))
    slur = Span("slur", Moment(0, Fraction(0)), Moment(0, Fraction(3, 4)))
    slurred = replace(source, sheet=replace(source.sheet, spans=(slur,)))
    for family in (blocks, bursts, chain, outline):
        for drill in family.FAMILY.unasked(slurred).drills:
            assert "left-out.slurs" in [each.key for each in drill.left_out], drill.id
        for drill in family.FAMILY.unasked(source).drills:
            assert not drill.left_out, drill.id


def test_a_passage_of_many_troubles_gets_six_drills_of_two_families() -> None:
    source = replace(
        leaping(), hands=(Hand.RIGHT, Hand.LEFT), lines={
            **leaping().lines, Hand.RIGHT: suggested(passage(RUN)).lines[Hand.RIGHT]
        },
        sheet=passage(RUN, [*WALTZ, *WALTZ]).sheet,
    )  # fmt: skip
    found = chosen(source)
    assert len(families(found)) == 2
    assert len(found.drills) <= MOST


@pytest.mark.parametrize("source", [suggested(passage(RUN, goal=FAST)), leaping()])
def test_everything_is_without_twins_and_fragments(source: Passage) -> None:
    made = everything(source, written(source), OTHERS)
    both = (Hand.RIGHT, Hand.LEFT)
    played = [heard(drill.sheet, both) for drill in (written(source), *made.drills)]
    assert len(set(played)) == len(played)
    for drill in made.drills:
        if drill.family in SHORT:
            assert len(drill.source) >= 6
    assert all(say(each.why, language) for each in made.dropped for language in LANGUAGES)


def test_the_passage_over_again_is_no_drill() -> None:
    source = suggested(passage(RUN, goal=FAST))
    again = replace(written(source), family="hands-apart", variant="right")
    sifted = without_twins(source, written(source), [again])
    assert not sifted.kept
    assert [each.why.key for each in sifted.dropped] == ["never.passage"]
    longer = replace(again, sheet=written(suggested(passage(RUN[1:]))).sheet)
    sifted = without_twins(source, written(source), [longer, replace(longer, variant="left")])
    assert [each.why.key for each in sifted.dropped] == ["never.twin"]


@pytest.mark.parametrize(
    ("file", "measures", "hand", "wanted"),
    [
        ("verdi/laDonnaEMobile.mxl", "3-5", "left", False),  # a bass, and chords it must leave
        ("bach/bwv846.mxl", "26-28", "left", True),  # a bass that lies under the hand
    ],
)
def test_voices_are_what_a_hand_can_hold(
    file: str, measures: str, hand: str, wanted: bool, tmp_path: Path
) -> None:
    drilled = marked(tmp_path, file, measures, hand)
    assert ("voices" in {drill.family for drill in drilled.drills}) is wanted


def test_a_single_leap_is_drilled_to_the_outer_note_and_to_the_whole_chord() -> None:
    """Nobody plays four lines that differ in an inner note."""
    source = passage(left=[("C2", "1/2"), ("E4 G4 C5", "1/2")] * 4, hands=(Hand.LEFT,), goal=FAST)
    found = chosen(fingered(source, Hand.LEFT, "5 5-2-1 " * 4))
    steps = [drill.variant for drill in found.drills if drill.family == "leaps"]
    assert steps == ["step-1", "step-4"]
    assert {each.why.key for each in found.dropped} == {"never.near-twin"}


def test_a_drill_but_for_one_note_is_another_over_again() -> None:
    other = [*RUN[:3], ("B4", "1/4"), ("C5", "1/4"), *RUN[5:]]
    one, two = (
        replace(written(suggested(passage(notes))), family="chain", variant=f"link-{number}")
        for number, notes in enumerate((RUN, other))
    )
    assert without_near_twins([one, two]).kept == (one, two)
    other = [*RUN[:4], ("D#5", "1/4"), *RUN[5:]]
    two = replace(two, sheet=written(suggested(passage(other))).sheet)
    assert without_near_twins([one, two]).kept == (one,)
    sway, swing = (
        replace(one, variant=variant, sheet=written(suggested(passage(notes))).sheet)
        for variant, notes in (("sway", even("C4 E4 C4 E4", "1/2")), ("swing", even("C4 F4", "1")))
    )
    assert without_near_twins([sway, swing, one, two]).kept == (swing, one)


def test_a_drill_that_accents_another_note_is_not_the_same_over_again() -> None:
    one = replace(written(suggested(passage(RUN))), family="accents", variant="accent-1")
    first, *bars = one.sheet.bars
    accented = replace(first.events[0], articulations=("accent",))
    sheet = replace(one.sheet, bars=(replace(first, events=(accented, *first.events[1:])), *bars))
    two = replace(one, variant="accent-2", sheet=sheet)
    assert heard(one.sheet, tuple(Hand)) != heard(two.sheet, tuple(Hand))
    assert without_near_twins([one, two]).kept == (one, two)
    other = written(suggested(passage([*RUN[:4], ("D#5", "1/4"), *RUN[5:]])))
    but_for_a_note = replace(one, variant="accent-3", sheet=other.sheet)
    assert without_near_twins([one, but_for_a_note]).kept == (one,)
    assert without_near_twins([two, but_for_a_note]).kept == (two, but_for_a_note)


@pytest.mark.parametrize(
    ("far", "length", "needed"),
    [
        pytest.param("C3", "1", False, id="the open hand has both"),
        pytest.param("D3", "1", False, id="once, and there is time"),
        pytest.param("D3", "1/4", True, id="once, at once"),
        pytest.param("C5", "1", True, id="once, and far"),
    ],
)
def test_one_leap_is_drilled_where_it_is_far_or_in_no_time(
    far: str, length: str, needed: bool
) -> None:
    notes = [("D2", "1"), ("C2", length), (far, "1"), *[(far, "1")] * 3]
    source = fingered(passage(left=notes, hands=(Hand.LEFT,)), Hand.LEFT, "5 5 4 4 4 4")
    assert ("leaps" in families(chosen(source))) is needed


def test_a_voice_of_one_key_is_not_played_alone(tmp_path: Path) -> None:
    """Bach's measures 26 to 28: the left hand's lower voice strikes one key, again and again."""
    drilled = marked(tmp_path, "bach/bwv846.mxl", "26-28", "left")
    voices = [drill.variant for drill in drilled.drills if drill.family == "voices"]
    assert voices == ["voice-1"]
    assert ("voices", "voice-2", "never.voice") in {
        (each.family, each.variant, each.why.key) for each in drilled.unmade
    }


def test_two_rhythms_are_tapped_and_played_on_one_key_before_they_are_played() -> None:
    upper = [(name, "1/3") for name in ["C5", "D5", "E5", "F5", "G5", "A5", "G5", "F5", "E5"]]
    lower = [(name, "1/2") for name in ["C3", "G3", "E3", "G3", "D3", "G3"]]
    made = against.FAMILY.unasked(suggested(passage(upper, lower, hands=tuple(Hand)))).drills
    assert [drill.variant for drill in made] == ["step-1", "step-2", "step-3", "step-4"]
    assert without_near_twins(made).kept == made


def test_beside_steps_of_more_leaps_one_to_and_fro_is_enough(tmp_path: Path) -> None:
    """C. P. E. Bach's H. 186, measures 30 and 31: three leaps, one of them from chord to chord."""
    drilled = marked(tmp_path, "cpebach/h186.mxl", "30.3-31", "right", goal=60)
    made = leaps.FAMILY.unasked(drilled.passage).drills
    kept = without_near_twins(made).kept
    assert [drill.variant for drill in kept] == ["step-1", "step-4"]
    assert [len({note.pitches for note in drill.source}) for drill in kept] == [5, 2]


def test_leaps_between_crumbs_of_notes_are_no_drill(tmp_path: Path) -> None:
    """There they land on thirty-seconds, with all that the hand plays around them left out."""
    drilled = marked(tmp_path, "cpebach/h186.mxl", "19.4-21", "right", goal=60)
    assert {drill.family for drill in drilled.numbered} == {"rhythms"}
    assert "never.leaps-too-short" in {each.why.key for each in drilled.unmade}


@pytest.mark.parametrize(
    ("rest", "found"), [("E2 F2", ["leaps"]), ("E2 F2 G2", ["leaps", "chain"])]
)
def test_leaps_are_not_linked_where_next_to_nothing_else_is_played(
    rest: str, found: list[str]
) -> None:
    notes = even(f"C2 C4 C2 C4 C2 C4 C2 D2 {rest}", "1")
    source = suggested(passage(left=notes, hands=(Hand.LEFT,)))
    assert sorted(families(chosen(source)), reverse=True) == found


def test_a_leap_onto_a_tremolo_is_drilled_with_a_landing_that_can_be_counted() -> None:
    """From a chord down a tenth onto thirty-seconds to and fro: the first of them is held."""
    notes = [("E3 G3 B3", "1/2"), *even("C2 C3 C2 C3 C2 C3 C2 C3", "1/8"), ("E3 G3 B3", "1/2")]
    source = suggested(passage(left=notes, hands=(Hand.LEFT,)))
    found = [drill for drill in chosen(source).drills if drill.family == "leaps"]
    assert found
    for drill in found:
        struck = [event for bar in drill.sheet.bars for event in bar.events if event.tones]
        assert min(event.length for event in struck) >= Fraction(1, 4)


@pytest.mark.parametrize(("chord", "found"), [("B3 D4 G4", False), ("C4 E4 G4", True)])
def test_a_lone_seventh_is_no_leap_to_drill_and_a_lone_octave_is(chord: str, found: bool) -> None:
    """A bass, and a chord in an eighth at quarter = 120, which is struck again and again."""
    notes = [("C3", "1/2"), *[(chord, "1/2")] * 7]
    source = suggested(passage(left=notes, hands=(Hand.LEFT,)))
    assert ("leaps" in families(chosen(source))) is found
