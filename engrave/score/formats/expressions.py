"""What is printed at a note, from music21's objects.

Enters: a music21 note, chord or rest. Leaves: ``NoteSigns``, one for each tone. Knows no files.
"""

from typing import Any

from engrave.score.formats.raw import NoteSigns

_ARTICULATIONS = {
    "Staccatissimo": "staccatissimo",
    "StrongAccent": "strong-accent",
    "Spiccato": "spiccato",
    "DetachedLegato": "detached-legato",
    "Staccato": "staccato",
    "Accent": "accent",
    "Tenuto": "tenuto",
    "BreathMark": "breath-mark",
    "Caesura": "caesura",
    "Stress": "stress",
    "Unstress": "unstress",
}
"""MusicXML's names by music21's classes, each class before those it derives from."""
_ORNAMENTS = {
    "Trill": "trill-mark",
    "InvertedMordent": "inverted-mordent",
    "Mordent": "mordent",
    "Shake": "shake",
    "Schleifer": "schleifer",
}


def printed_at(element: Any) -> tuple[NoteSigns, ...]:
    """The signs at ``element``; those of a chord as a whole stand at its first tone."""
    tones = element.notes if element.isChord else (element,)
    printed = tuple(NoteSigns() for _ in tones)
    for tone, signs in zip(tones, printed, strict=True):
        _read(tone, signs)
    if element.isChord:
        _read(element, printed[0])
    return printed


def _read(element: Any, signs: NoteSigns) -> None:
    for mark in element.articulations:
        if "Fingering" in mark.classSet:
            number = str(mark.fingerNumber)[:1]
            signs.fingers += [int(number)] if number in "12345" else []
        else:
            signs.articulations += _first(_ARTICULATIONS, mark)
    for mark in element.expressions:
        classes = mark.classSet
        if "Fermata" in classes:
            signs.fermata = True
        elif "ArpeggioMark" in classes:
            signs.arpeggio = True
        elif "Tremolo" in classes:
            signs.tremolo = str(mark.numberOfMarks)
        elif "Turn" in classes:
            turn = "inverted-turn" if "InvertedTurn" in classes else "turn"
            signs.ornaments.append(f"delayed-{turn}" if mark.isDelayed else turn)
        else:
            signs.ornaments += _first(_ORNAMENTS, mark)


def _first(names: dict[str, str], mark: Any) -> list[str]:
    return next(([name] for cls, name in names.items() if cls in mark.classSet), [])
