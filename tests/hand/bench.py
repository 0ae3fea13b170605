"""How long fingering takes, and that its cost grows linearly.

``python -m tests.hand.bench`` fingers random lines of one hand, of single notes, mixed with and all
of triads, and prints processor seconds, in all and for a thousand notes.
"""

import random
import time
from collections.abc import Sequence

from engrave.fingering import finger
from engrave.music.notes import Hand
from tests.hand.lines import keys_line

LENGTHS = (250, 500, 1000, 2000, 4000)
KINDS = (("single notes", 0.0), ("a third of them triads", 1 / 3), ("triads", 1.0))


def walk(count: int, chords: float, seed: int = 1) -> list[Sequence[int]]:
    """A random walk over four octaves; ``chords`` is the share of triads."""
    chance = random.Random(seed)
    key, line = 60, list[Sequence[int]]()
    for _ in range(count):
        key = min(max(key + chance.randint(-5, 5), 40), 84)
        triad = key, key + chance.choice((3, 4)), key + chance.choice((7, 8, 9))
        line.append(triad if chance.random() < chords else (key,))
    return line


def main() -> None:
    """Time every kind and length once; what is remembered from the first helps the rest."""
    for kind, chords in KINDS:
        for count in LENGTHS:
            keys = walk(count, chords)
            onsets, notes = keys_line(keys), sum(map(len, keys))
            start = time.process_time()
            finger(onsets, Hand.RIGHT, 205.0, 100)
            seconds = time.process_time() - start
            print(
                f"{kind}: {count} onsets, {notes} notes: {seconds:.2f} s, "
                f"{1000 * seconds / notes:.2f} s a thousand notes"
            )


if __name__ == "__main__":
    main()
