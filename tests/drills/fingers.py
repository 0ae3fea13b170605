"""Fingers for passages that were built by hand."""

from dataclasses import replace

from engrave.fingering import finger
from engrave.music.notes import FingerOrigin, Hand
from engrave.passage.model import Passage


def fingered(passage: Passage, hand: Hand, fingers: str) -> Passage:
    """The passage with the teacher's fingers on one hand: a word an onset, ``1-3-5`` a chord."""
    line = tuple(
        onset.fingered(map(int, word.split("-")), FingerOrigin.MARKS)
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
            onset.fingered(fingers, FingerOrigin.COMPUTED)
            for onset, fingers in zip(line, numbers, strict=True)
        )
    return replace(passage, lines=lines)
