"""Fingering notes: facts told from fingered lines, and the sentences made of them."""

from dataclasses import replace

import pytest

from engrave.music.notes import Finger, FingerOrigin, Hand, Pitch
from engrave.music.onset import Onset
from engrave.passage.fingering_notes import (
    ThumbPass,
    black_key_fingers,
    fingering_notes,
    origins,
    thumb_passes,
)
from engrave.passage.positions import positions
from engrave.words import LANGUAGES, say
from tests.hand.lines import fingered, line, words

STRETCH_MM = 205.0


def played(text: str, fingers: str, hand: Hand = Hand.RIGHT) -> tuple[Onset, ...]:
    return fingered(line(text, hand), words(fingers))


def said(onsets: tuple[Onset, ...], hand: Hand = Hand.RIGHT, language: str = "en") -> list[str]:
    found = positions(onsets, hand, STRETCH_MM)
    remarks = fingering_notes(onsets, found, hand)
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


def test_fingers_on_black_keys_the_usual_one_first() -> None:
    onsets = played("F#4 C#5 F#5 F#4 D4", "2 3 4 2 1")
    assert black_key_fingers(onsets) == {
        Pitch.parse("C#4"): (3,),
        Pitch.parse("F#4"): (2, 4),
    }


def test_whose_the_fingers_are() -> None:
    first, *rest = played("C4 D4 E4", "1 2 3")
    (tone,) = first.tones
    score = replace(first, tones=(replace(tone, finger=Finger(1, FingerOrigin.SCORE)),))
    assert origins((score, *rest)) == {FingerOrigin.SCORE: 1, FingerOrigin.MARKS: 2}
    assert "1 from the score" in said((score, *rest))[-1]
    assert "2 from the teacher" in said((score, *rest))[-1]


def test_a_scale_in_words() -> None:
    notes = said(played("D4 E4 F#4 G4 A4 B4 C#5 D5", "1 2 3 1 2 3 4 5"))
    assert notes[0] == "The thumb of the right hand passes under 3 onto G 4 (m. 1)."
    assert notes[1] == "Black keys, right hand: 4 on C sharp and 3 on F sharp."
    assert not any("moves" in note for note in notes)  # the thumb has brought it there


def test_moves_are_named_by_interval_and_in_white_keys() -> None:
    notes = said(played("C4 E4 G4 C5 E5", "1 3 5 1 3"))
    assert any(
        "moves up an octave, 7 white keys (m. 1)" in note.replace("\u00a0", " ") for note in notes
    )


def test_what_has_to_be_rolled() -> None:
    notes = said(played("C4-G4-F5", "1-2-5"))
    assert any("rolled: one chord" in note for note in notes)


def test_a_long_list_is_counted() -> None:
    keys = " ".join(f"{low} {high}" for low in ("C3", "D3", "E3", "F3") for high in ("C5", "D6"))
    notes = said(played(keys, "1 5 " * 8))
    assert any("further places" in note for note in notes)


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_note_can_be_said(language: str) -> None:
    onsets = played("C4 D4 E4 F4 E4 F#4 C6 C4-G4-F5 C4", "1 2 3 1 3 4 5 1-2-5 1")
    notes = said(onsets, language=language)
    assert len(notes) == 6
    assert all(note.endswith(".") and "{" not in note for note in notes)


def test_nothing_played_has_no_notes() -> None:
    assert fingering_notes((), (), Hand.RIGHT) == ()
