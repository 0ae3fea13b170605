"""Small invented scores for marks to go wrong in.

``ferry``: 2/4, no metronome mark; 1, 2 and 11 run in sixteenths, 2 over quintuplets and 11 over
triplets; 3 has a triplet over both beats; 4 and 5 are each silent in one hand and 14 in both; in 6
the left hand leaps, 7 repeats its notes, 8 is a seventh, 9 has five voices in the right hand; the
last are 12, 12a, 13 and 14. ``duet``: a voice and two pianos. ``suite``: two movements, of 4
measures and of 3 with a pickup.
"""

from pathlib import Path

from tests.score.build import back, document, head, measure, note

BASS = (back(2), note("C3", 2, voice=5, staff=2))


def write_scores(folder: Path) -> None:
    """Lay all of them into ``folder``."""
    (folder / "ferry.musicxml").write_text(ferry(), "utf-8")
    (folder / "duet.musicxml").write_text(duet(), "utf-8")
    (folder / "suite.musicxml").write_text(suite(), "utf-8")


def ferry() -> str:
    """Every measure has one thing that goes wrong when it is asked for."""
    up, down = _run("C5 D5 E5 F5 G5 A5 B5 C6"), _run("C6 B5 A5 G5 F5 E5 D5 C5")
    triplet = "".join(note(pitch, "2/3", tuplet=(3, 2)) for pitch in ("C5", "E5", "G5"))
    measures = (
        measure(1, up, *BASS, head=head("2/4")),
        measure(2, down, back(2), _bass_tuplets((5, 4), "1/5")),
        measure(3, triplet, *BASS),
        measure(4, _chord("C5 E5 G5", 2)),
        measure(5, back(0), note("C3", voice=5, staff=2), note("E3", voice=5, staff=2)),
        measure(6, note("G5", 2), back(2), _leaps()),
        measure(7, note("C5"), note("C5"), *BASS),
        measure(8, _chord("C5 B5", 2), *BASS),
        measure(9, _five_voices(), *BASS[1:]),
        measure(10, note("C5"), _chord("C5 E5"), *BASS),
        measure(11, up, back(2), _bass_tuplets((3, 2), "1/3")),
        *(measure(name, note("C5", 2), *BASS) for name in (12, "12a", 13)),
        measure(14, note("r", 2), back(2), note("r", 2, voice=5, staff=2)),
    )
    return document(("Piano", "".join(measures)))


def _run(pitches: str) -> str:
    return "".join(note(pitch, "1/4") for pitch in pitches.split())


def _chord(pitches: str, length: int | str = 1, voice: int = 1, staff: int = 1) -> str:
    return "".join(
        note(pitch, length, voice=voice, staff=staff, chord=number > 0)
        for number, pitch in enumerate(pitches.split())
    )


def _leaps() -> str:
    bass = note("C2", "1/2", voice=5, staff=2)
    return 2 * (bass + _chord("G3 C4 E4", "1/2", voice=5, staff=2))


def _bass_tuplets(ratio: tuple[int, int], length: str) -> str:
    pitches = ("C3", "E3", "G3", "E3", "D3")[: ratio[0]] * 2
    return "".join(note(each, length, voice=5, staff=2, tuplet=ratio) for each in pitches)


def _five_voices() -> str:
    return "".join(note(pitch, 2) + back(2) for pitch in ("C5", "D5", "E5", "F5", "G5"))


def duet() -> str:
    """Two parts that could be the piano."""
    plain = measure(1, note("C5", 2), *BASS, head=head("2/4"))
    voice = measure(1, note("C5", 2), head=head("2/4").replace("<staves>2</staves>", ""))
    return document(("Voice", voice), ("Piano I", plain), ("Piano II", plain))


def suite() -> str:
    """Two movements; only the numbers say so."""
    first = [
        measure(number, _run("C5 D5 E5 F5 G5 A5 B5 C6"), *BASS, head=head("2/4") * (number == 1))
        for number in range(1, 5)
    ]
    pickup = measure(0, note("G5"), back(1), note("C3", voice=5, staff=2), implicit=True)
    second = [measure(number, _run("C6 B5 A5 G5 F5 E5 D5 C5"), *BASS) for number in range(1, 4)]
    return document(("Piano", "".join([*first, pickup, *second])))
