"""How often the model chooses the finger that stands in a fingered score.

``python -m tests.hand.agreement [--tempo QUARTERS_A_MINUTE] SCORE …`` reads scores with their
fingerings (MusicXML, kern with a ``**fing`` spine, MEI), fingers both hands without them and
prints the share of fingered notes that agree, score by score and hand by hand.
"""

import argparse
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

from engrave.fingering import finger
from engrave.music.notes import STRETCH_MM, Hand
from engrave.music.onset import Onset
from engrave.music.sheet import Moment
from engrave.passage.onsets import onsets
from engrave.score import Score, read_score, tempo_at

DEFAULT_TEMPO = Fraction(100)


def agreement(line: Sequence[Onset], hand: Hand, tempo: Fraction) -> Counter[bool]:
    """How many of the fingered notes of a line the model fingers as printed, and not."""
    bare = [
        replace(onset, tones=tuple(replace(tone, finger=None) for tone in onset.tones))
        for onset in line
    ]
    chosen = finger(bare, hand, STRETCH_MM, tempo)
    return Counter(
        tone.finger.number == number
        for onset, numbers in zip(line, chosen, strict=True)
        for tone, number in zip(onset.tones, numbers, strict=True)
        if tone.finger
    )


def tempo_of(score: Score) -> Fraction:
    """The first printed metronome mark in quarters a minute, or a moderate tempo."""
    mark = tempo_at(score, Moment(0, Fraction(0)))
    return mark.per_minute * mark.beat if mark else DEFAULT_TEMPO


def shown(name: str, counts: Counter[bool]) -> str:
    """``name: 62.9 % of 1017 notes``."""
    notes = counts.total()
    return f"{name}: {100 * counts[True] / notes:.1f} % of {notes} notes" if notes else f"{name}: -"


def main() -> None:
    """Read, finger, compare, print."""
    words = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    words.add_argument("scores", nargs="+", type=Path, metavar="SCORE")
    words.add_argument("--tempo", type=Fraction, help="quarters a minute (default: as printed)")
    given = words.parse_args()
    total = Counter[bool]()
    for path in given.scores:
        score = read_score(path)
        for hand in Hand:
            line = onsets(score.sheet, hand)
            counts = agreement(line, hand, given.tempo or tempo_of(score))
            total += counts
            print(shown(f"{path.name}, {hand} hand", counts))
    print(shown("together", total))


if __name__ == "__main__":
    main()
