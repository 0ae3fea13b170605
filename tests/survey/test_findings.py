"""What is hard is said as a teacher says it: plain sentences, with a place, in every language."""

import re

import pytest

from engrave.music.notes import Hand
from engrave.music.sheet import Bar
from engrave.remarks import Remark
from engrave.score import read_score
from engrave.survey import Spot, Wanted, survey
from engrave.survey.findings import KINDS
from engrave.survey.table import LOADS
from engrave.survey.words import finding
from engrave.words import LANGUAGES, words
from tests.sheets import bar
from tests.survey.pieces import easy, score, with_hand
from tests.works import corpus

MEASURED = re.compile(r"\bbits?\b|\bmm\b|%|a second\b|in der Sekunde")
"""Words of measurement; "a second" is an interval too, but no leap and no stretch is one."""

WORKS = (
    "joplin/maple_leaf_rag.mxl",
    "mozart/k545/movement1_exposition.mxl",
    "schumann_clara/polonaise_op1n3.mxl",
    "verdi/laDonnaEMobile.mxl",
)


def hardest(bars: list[Bar], mark: int = 96) -> Spot:
    return survey(score(bars, mark), wanted=Wanted(count=1)).spots[0]


def test_every_load_is_told_or_falls_under_another() -> None:
    assert set(KINDS) == set(LOADS)


@pytest.mark.parametrize("work", WORKS)
@pytest.mark.parametrize("language", LANGUAGES)
def test_sentences_are_plain_and_name_a_measure_of_the_stretch(work: str, language: str) -> None:
    found = survey(read_score(corpus() / work), wanted=Wanted(count=12))
    measures = {cell.measure for cell in found.terrain.cells}
    for spot in found.spots:
        inside = {found.terrain.cells[n].measure for n in range(spot.first, spot.last + 1)}
        said = finding(spot, language)
        assert 1 <= len(said) <= 2
        for sentence in said:
            assert sentence.endswith(".")
            assert not MEASURED.search(sentence), sentence
        for remark in spot.finding:
            named = dict(remark.values)["measure"]
            assert named in measures
            assert named in inside


def test_the_thumb_passes_where_the_fingers_say() -> None:
    """F major with its handbook fingers, 1 2 3 4 1 2 3 4: the thumb goes under onto C."""
    music = easy(12)
    scale = "F4:16=1 G4:16=2 A4:16=3 Bb4:16=4 C5:16=1 D5:16=2 E5:16=3 F5:16=4"
    music[5] = bar(f"{scale} C5:2", "C3:1", meter="4/4", name="6", key=-1)
    said = finding(hardest(music))
    assert "The thumb of the right hand passes under, onto C (measure 6)." in said


def test_a_leap_is_named_by_the_hand_s_way() -> None:
    music = easy(12)
    music[5] = bar("C5:1", "C2:8=5 C4:8=5 C2:8=5 C4:8=5 C2:2=5", meter="4/4", name="6")
    said = " ".join(finding(hardest(music)))
    assert "The left hand leaps again and again, the farthest up onto C (measure 6)" in said
    assert "; it moves by two octaves." in said


def test_leaps_of_repeated_notes_are_found() -> None:
    music = easy(24)
    music[9] = bar("C5:1", "C2:8 C2:8 C4:8 C4:8 C2:8 C2:8 C4:8 C4:8", meter="4/4", name="10")
    spot = hardest(music)
    assert spot.measures.first in ("9", "10")
    assert "The left hand leaps again and again" in " ".join(finding(spot))


def test_a_black_key_at_the_landing_is_named() -> None:
    music = easy(12)
    music[5] = bar("C5:1", "C3:8=5 Eb4:8=5 r:2.", meter="4/4", name="6")
    said = " ".join(finding(hardest(music)))
    assert "onto the black key E flat (measure 6)" in said


def test_two_rhythms_are_told_by_their_notes() -> None:
    music = easy(12)
    music[5] = bar("C5:8t D5:8t E5:8t " * 4, "C3:16 D3:16 E3:16 D3:16 " * 4, meter="4/4", name="6")
    found = survey(score(music, 96), wanted=Wanted(count=1)).spots[0]
    said = " ".join(finding(found))
    assert (
        "the right hand has three notes and the left hand four, one rhythm against the other"
        in said
    )


def test_what_both_hands_do_alike_is_said_of_both() -> None:
    music = easy(12)
    music[5] = with_hand(music[5], Hand.RIGHT, "C4,E4:16 D4,F4:16 E4,G4:16 F4,A4:16 " * 4)
    lower = with_hand(music[5], Hand.LEFT, "C3,E3:16 D3,F3:16 E3,G3:16 F3,A3:16 " * 4)
    both = Bar(lower.name, lower.length, lower.meter, lower.key,
               music[5].of(Hand.RIGHT) + lower.of(Hand.LEFT))  # fmt: skip
    music[5] = both
    assert any(sentence.startswith("Both hands") for sentence in finding(hardest(music)))


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_sentence_about_trouble_has_a_measured_figure(language: str) -> None:
    def sentences(entry: object) -> list[str]:
        if isinstance(entry, dict):
            return [text for part in entry.values() for text in sentences(part)]
        return [str(entry)]

    said = words(language)["survey"]["finding"]
    allowed = set(sentences(said["interval"]))
    for sentence in set(sentences(said)) - allowed:
        assert not MEASURED.search(sentence)


def test_a_place_without_a_single_trouble_is_told_too() -> None:
    found = survey(score(easy(4)), wanted=Wanted(count=1)).spots[0]
    assert finding(found)


def test_of_a_slow_place_the_line_is_told_and_where_it_begins() -> None:
    """A measure of 4/4 at 40 lasts six seconds; a rest ends a line, a third stroke a second a slow
    place (a judgement)."""
    line = [bar("C4:4 D4:4 E4:4 D4:4", "C3:1", meter="4/4", name=str(n)) for n in (1, 2)]
    (told,) = hardest(line, 40).finding
    assert told == Remark.of("survey.finding.slow-line", hand=Hand.RIGHT, count=8, measure="1")
    cut = [line[0], bar("C4:4 r:4 E4:4 D4:4", "C3:1", meter="4/4", name="2")]
    (told,) = hardest(cut, 40).finding
    assert dict(told.values)["count"] == 5
    chords = [bar("C4:4 r:4 D4:4 r:4", "C3:4 r:4 D3:4 r:4", meter="4/4", name=n) for n in "12"]
    (told,) = hardest(chords, 40).finding
    assert told == Remark.of("survey.finding.slow", measure="1")
    assert "its sound is the work" in finding(hardest(chords, 40))[0]
    assert "slow" not in " ".join(remark.key for remark in hardest(line, 200).finding)


def test_two_long_fingers_in_a_slow_measure_are_no_trouble() -> None:
    """K. 545, measure 3: a half and two quarter notes above broken chords."""
    found = survey(read_score(corpus() / WORKS[1]), wanted=Wanted(share=1.0))
    told = [remark for spot in found.spots for remark in spot.finding]
    weak = {dict(each.values)["measure"] for each in told if each.key.endswith("weak-fingers")}
    assert "3" not in weak


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("D5:16=1 E5:16=3 F5:16=4 G5:16=5 " * 4, True),
        ("D5:16=2 F5:16=4 E5:16=3 C5:16=1 " * 4, False),
    ],
)
def test_three_quick_notes_in_a_row_make_the_long_fingers_a_trouble(words: str, told: bool) -> None:
    music = easy(12)
    music[5] = bar(words, "C3:1", meter="4/4", name="6")
    keys = [remark.key for remark in hardest(music, 132).finding]
    assert ("survey.finding.weak-fingers" in keys) is told


def test_a_key_struck_again_is_counted_as_long_as_it_is_the_same() -> None:
    music = easy(12)
    words = "C5:16 C5:16 C5:16 C5:16 D5:16 D5:16 E5:16 E5:16 " + "G4:16 " * 5 + "D5:16 E5:16 F5:16"
    music[5] = bar(words, "C3:1", meter="4/4", name="6")
    told = {each.key: dict(each.values) for each in hardest(music, 132).finding}
    assert told["survey.finding.repeats"]["count"] == 5


@pytest.mark.parametrize(
    ("words", "kind"),
    [
        pytest.param("C4,C5:8 D4,D5:8 E4,E5:8 D4,D5:8 " * 2, "octave", id="octaves"),
        pytest.param("C4,E4:8 D4,F4:8 E4,G4:8 D4,F4:8 " * 2, "double", id="thirds"),
        pytest.param("C4:16 E4:16 G4:16 E4:16 " * 4, "broken", id="broken chords"),
        pytest.param("C4:16 D4:16 E4:16 F4:16 " * 4, "run", id="steps"),
    ],
)
def test_runs_and_grips_are_called_by_what_they_are(words: str, kind: str) -> None:
    music = easy(12)
    music[5] = with_hand(music[5], Hand.RIGHT, words)
    told = [remark.key.rpartition("finding.")[2] for remark in hardest(music, 132).finding]
    assert any(key.startswith(kind) for key in told), told
    assert len(set(told)) == len(told)


def test_what_no_hand_opens_to_is_rolled() -> None:
    music = easy(12)
    music[5] = with_hand(music[5], Hand.LEFT, "C2,G2,E3,C4:2 " * 2)
    told = {remark.key: dict(remark.values) for remark in hardest(music).finding}
    assert "survey.finding.rolled" in told


@pytest.mark.parametrize(("top", "kind"), [("D4", "wide"), ("E4", "wide"), ("F4", "rolled")])
def test_a_tenth_is_wide_and_an_eleventh_is_rolled(top: str, kind: str) -> None:
    """What hands open to, and what they roll (common practice, no source)."""
    music = easy(12)
    music[5] = with_hand(music[5], Hand.LEFT, f"C3,{top}:2 " * 2)
    told = {remark.key.rpartition(".")[2] for remark in hardest(music).finding}
    assert told & {"open", "wide", "rolled"} == {kind}


@pytest.mark.parametrize(("fingers", "told"), [("1,5", False), ("1,4", False), ("2,5", True)])
def test_an_octave_is_a_stretch_in_fingers_that_lie_close_together(
    fingers: str, told: bool
) -> None:
    """In the thumb and the fourth or fifth finger it lies as a hand lies, and is an octave."""
    music = easy(12)
    octaves = " ".join(f"{name}4,{name}5:8={fingers}" for name in "DEFGAGFE")
    music[5] = bar(octaves, "C3:1", meter="4/4", name="6", key=-1)
    said = " ".join(finding(hardest(music), "en"))
    assert "eight octaves in measure 6" in said
    assert ("lie close together" in said) is told
