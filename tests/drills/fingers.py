"""Fingers for passages that were built by hand."""

from dataclasses import replace

from engrave.fingering import finger
from engrave.music.notes import Finger, FingerOrigin, Hand
from engrave.music.onset import Onset
from engrave.passage.model import Passage


def fingered(passage: Passage, hand: Hand, fingers: str) -> Passage:
    """The passage with the teacher's fingers on one hand: a word an onset, ``1-3-5`` a chord."""
    line = tuple(
        _with(onset, tuple(int(number) for number in word.split("-")), FingerOrigin.MARKS)
        for onset, word in zip(passage.lines[hand], fingers.split(), strict=True)
    )
    return replace(passage, lines={**passage.lines, hand: line})


def suggested(passage: Passage) -> Passage:
    """The passage with computed fingers wherever none stand."""
    lines = {}
    for hand, line in passage.lines.items():
        tempo = passage.goal.quarters_per_minute
        numbers = finger(line, hand, passage.stretch_mm[hand], tempo)
        lines[hand] = tuple(
            _with(onset, fingers, FingerOrigin.COMPUTED)
            for onset, fingers in zip(line, numbers, strict=True)
        )
    return replace(passage, lines=lines)


def _with(onset: Onset, numbers: tuple[int, ...], origin: FingerOrigin) -> Onset:
    tones = tuple(
        tone if tone.finger else replace(tone, finger=Finger(number, origin))
        for tone, number in zip(onset.tones, numbers, strict=True)
    )
    return replace(onset, tones=tones)
