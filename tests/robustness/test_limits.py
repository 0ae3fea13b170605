"""The limits before reading refuse no real file, and what only looks endless is read."""

import random
from pathlib import Path

import pytest

from engrave.errors import EngraveError
from engrave.score import read_score
from tests.robustness.limits import corpus, refused
from tests.score.build import back, document, head, measure, note

DRAWN = 200
HEAD = "X:1\nT:Air\nM:4/4\nL:1/4\nK:C\n"
NOTES = "%%score {1 2}\nV:1\nc d e f|\nV:2 clef=bass\nC, D, E, F,|\n"


@pytest.mark.parametrize("kind", [".abc", ".krn", ".mxl", ".xml"])
def test_no_file_of_the_corpus_is_refused(kind: str) -> None:
    paths = [path for path in corpus() if path.suffix == kind]
    drawn = random.Random(20270214).sample(paths, min(DRAWN // 4, len(paths)))
    assert [(path.name, said) for path in drawn if (said := refused(path))] == []


@pytest.mark.parametrize(
    "text",
    [
        HEAD.replace("K:", "Z:written down 200109261822\nN:Z1295\nS:X99999\nK:") + NOTES,
        HEAD + NOTES + "\n" + (HEAD + "c d e f|" * 500 + "\n") * 20,
        (HEAD + NOTES).replace("\n", "\r\n"),
    ],
    ids=["dates", "tunes", "lines"],
)
def test_what_is_said_beside_a_tune_and_after_it_is_no_music(tmp_path: Path, text: str) -> None:
    path = tmp_path / "air.abc"
    path.write_bytes(text.encode())
    assert [len(bar.events) for bar in read_score(path).sheet.bars] == [8]


@pytest.mark.parametrize("line", ["A:|c99999999999|", "C::c99999999999|", "Z2000|c|"])
def test_a_line_of_music_is_looked_at_whatever_it_begins_with(tmp_path: Path, line: str) -> None:
    path = tmp_path / "air.abc"
    path.write_text(f"{HEAD}{line}\n", "utf-8")
    with pytest.raises(EngraveError, match="cannot be meant"):
        read_score(path)


def test_a_chord_of_more_notes_than_a_piano_has_keys_costs_its_measure(tmp_path: Path) -> None:
    pitches = [f"{step}{octave}" for octave in range(1, 8) for step in "CDEFGAB"] * 20
    chord = "".join(note(pitch, 4, chord=number > 0) for number, pitch in enumerate(pitches))
    low = back(4) + note("C3", 4, voice=5, staff=2)
    first, last = (note("C5", 4) + low for _ in range(2))
    bars = measure(1, first, head=head()) + measure(2, chord + low) + measure(3, last)
    path = tmp_path / "piece.musicxml"
    path.write_text(document(("Piano", bars)), "utf-8")
    assert read_score(path).unread == ((1, "more than 88 notes begin in it at once"),)
