"""Fingering notes: facts told from fingered lines, and the sentences made of them."""

from dataclasses import replace

import pytest

from engrave.fingering import unmet
from engrave.music.notes import Finger, FingerOrigin, Hand, Pitch
from engrave.music.onset import Onset
from engrave.passage.fingering_notes import fingering_notes, origins
from engrave.passage.thumb_passes import ThumbPass, thumb_passes
from engrave.words import LANGUAGES, say
from tests.hand.lines import fingered, line, words

STRETCH_MM = 205.0


def played(text: str, fingers: str, hand: Hand = Hand.RIGHT) -> tuple[Onset, ...]:
    return fingered(line(text, hand), words(fingers))


def said(onsets: tuple[Onset, ...], hand: Hand = Hand.RIGHT, language: str = "en") -> list[str]:
    broken = {hand: unmet(onsets, hand, STRETCH_MM, 96)}
    remarks = fingering_notes({hand: onsets}, {hand: STRETCH_MM}, broken)
    return [say(remark, language).replace("\u00a0", " ") for remark in remarks]


@pytest.mark.parametrize(
    ("text", "fingers", "hand", "passes"),
    [
        ("C4 D4 E4 F4", "1 2 3 1", Hand.RIGHT, [(3, 3, "F4", True)]),
        ("F4 E4 D4", "1 3 2", Hand.RIGHT, [(1, 3, "E4", False)]),
        ("C3 D3 E3 F3 G3 A3", "5 4 3 2 1 3", Hand.LEFT, [(5, 3, "A3", False)]),
        ("A3 G3 F3", "3 1 2", Hand.LEFT, [(1, 3, "G3", True)]),
        ("C4 D4 E4", "1 2 3", Hand.RIGHT, []),
        ("C4 E4 C6", "1 3 1", Hand.RIGHT, []),  # the hand leaps
        ("C4 C4", "2 1", Hand.RIGHT, []),  # a repeated key
        ("C4-E4 F4", "1-2 1", Hand.RIGHT, []),  # a chord moves as a whole
    ],
)
def test_thumb_passes(
    text: str, fingers: str, hand: Hand, passes: list[tuple[int, int, str, bool]]
) -> None:
    expected = tuple(
        ThumbPass(onset, finger, Pitch.parse(name), under) for onset, finger, name, under in passes
    )
    assert thumb_passes(played(text, fingers, hand), hand) == expected


def test_whose_the_fingers_are() -> None:
    first, *rest = played("C4 D4 E4", "1 2 3")
    (tone,) = first.tones
    score = replace(first, tones=(replace(tone, finger=Finger(1, FingerOrigin.SCORE)),))
    assert origins((score, *rest)) == {FingerOrigin.SCORE: 1, FingerOrigin.MARKS: 2}


def test_the_teachers_fingers_are_named_where_they_stand_among_others() -> None:
    teachers = played("C4 D4 E4", "1 2 3")
    (tone,) = teachers[0].tones
    mine = replace(tone, finger=Finger(1, FingerOrigin.COMPUTED))
    assert said((replace(teachers[0], tones=(mine,)), *teachers[1:])) == [
        "The fingers in m. 1 are your teacher’s."
    ]
    assert said(teachers) == []


def test_thumb_passes_are_named_by_finger_key_and_measure() -> None:
    notes = said(played("D4 E4 F#4 G4 A4 G4 F#4", "1 2 3 1 2 1 3"))
    assert notes == [
        "Thumb of the right hand: under 3 onto G (m. 1) and 3 over it onto F sharp (m. 1)."
    ]


def test_the_passes_of_a_long_scale_are_counted() -> None:
    keys = "C4 D4 E4 F4 G4 A4 B4 " * 4
    notes = said(played(keys, "1 2 3 1 2 3 4 " * 4))
    assert notes == [] or "changes sides" not in notes[0]
    long = "C3 D3 E3 F3 G3 A3 B3 C4 D4 E4 F4 G4 A4 B4 C5 D5 E5 F5 G5 A5 B5 C6 D6 E6 F6"
    fingers = "1 2 3 1 2 3 4 1 2 3 1 2 3 4 1 2 3 1 2 3 4 1 2 3 1"
    assert said(played(long, fingers)) == [
        "The thumb of the right hand changes sides seven times (m. 1): hear that it does not bump."
    ]


def test_measures_that_share_a_figure_are_named() -> None:
    figure, fingers = "C4 E4 D4 F4 E4 G4 F4 C4", "1 3 2 4 3 5 4 1"
    onsets = played(f"{figure} {figure}", f"{fingers} {fingers}")
    onsets = tuple(replace(each, measure="1" if each.index < 8 else "2") for each in onsets)
    assert said(onsets) == ["Right hand: measures 1 and 2 share a figure and its fingers."]
    german = said(onsets, language="de")
    assert german == ["Rechte Hand: Die Takte 1 und 2 haben eine Figur und ihre Finger gemeinsam."]


def test_what_has_to_be_rolled() -> None:
    notes = said(played("C4-G4-F5", "1-2-5"))
    assert any("rolled: one chord" in note for note in notes)


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_passage_has_more_than_three_notes(language: str) -> None:
    onsets = played("C4 D4 E4 F4 E4 F#4 C6 C4-G4-F5 C4", "1 2 3 1 3 4 5 1-2-5 1")
    (tone,) = onsets[0].tones
    mine = replace(onsets[0], tones=(replace(tone, finger=Finger(1, FingerOrigin.COMPUTED)),))
    notes = said((mine, *onsets[1:]), language=language)
    assert len(notes) == 3
    assert all(note.endswith(".") and "{" not in note for note in notes)


def test_nothing_played_has_no_notes() -> None:
    assert fingering_notes({Hand.RIGHT: ()}, {Hand.RIGHT: STRETCH_MM}, {}) == ()
