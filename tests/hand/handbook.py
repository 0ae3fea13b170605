"""Handbook fingerings of scales and arpeggios, two octaves, and how the model does by them.

``python -m tests.hand.handbook`` prints the misses. University piano-proficiency tables, which
agree with the old handbooks. Minors are harmonic; the first, the highest and the last note of a
scale may have another finger, and in arpeggios 3 and 4 may stand for each other.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from engrave.music.notes import Hand
from tests.hand.lines import keys_line, numbers

_TONICS = {"C": 0, "c": 0, "Db": 1, "c#": 1, "D": 2, "d": 2, "Eb": 3, "eb": 3, "E": 4, "e": 4,
           "F": 5, "f": 5, "F#": 6, "f#": 6, "G": 7, "g": 7, "Ab": 8, "g#": 8, "A": 9, "a": 9,
           "Bb": 10, "bb": 10, "B": 11, "b": 11}  # fmt: skip
"""Keys by name, minor ones in small letters: semitones above C."""

_SCALES = (
    ("C G D A E c g d a e", "123123412312345", "543213214321321"),
    ("B b", "123123412312345", "432143213214321"),
    ("F f", "123412312341234", "543213214321321"),
    ("Bb", "412312341231234", "321432132143213"),
    ("Eb", "312341231234123", "321432132143213"),
    ("Ab g# c#", "341231234123123", "321432132143213"),
    ("Db", "231234123123412", "321432132143213"),
    ("F#", "234123123412312", "432132143213214"),
    ("f#", "341231234123123", "432132143213214"),
    ("eb", "312341231234123", "214321321432132"),
    ("bb", "412312341231234", "213214321321432"),
)
"""Keys, right hand, left hand; two octaves rising."""

_ARPEGGIOS = (
    ("C G F c d e f g a b eb", "1231235", "5421421"),
    ("D A E B F#", "1231235", "5321321"),
    ("Db Eb Ab c# f# g#", "4124124", "2142142"),
    ("Bb", "4124124", "3213213"),
    ("bb", "2312312", "3213213"),
)
"""Root position, two octaves rising."""

_STEPS: dict[bool, tuple[int, ...]] = {True: (0, 2, 4, 5, 7, 9, 11), False: (0, 2, 3, 5, 7, 8, 11)}
_TRIADS: dict[bool, tuple[int, ...]] = {True: (0, 4, 7), False: (0, 3, 7)}


@dataclass(frozen=True)
class Line:
    """A handbook line: MIDI keys up and down again, and the fingers of the rising half."""

    kind: str
    key: str
    hand: Hand
    keys: tuple[int, ...]
    wanted: str

    def computed(self) -> str:
        """The model's fingers, up and down, at a moderate pace (sixteenths at quarter = 80)."""
        return numbers(keys_line(self.keys, self.hand), self.hand, quarters_per_minute=80)

    def misses(self, computed: str) -> bool:
        """Whether the fingers differ from the handbook's beyond the variants it allows."""
        top = len(self.wanted) - 1
        rising, falling = computed[: top + 1], computed[top:][::-1]
        return not (self._agrees(rising) and self._agrees(falling))

    def _agrees(self, fingers: str) -> bool:
        if self.kind == "scale":
            return fingers[1:-1] == self.wanted[1:-1]
        return fingers.replace("4", "3") == self.wanted.replace("4", "3")


def scales() -> Iterator[Line]:
    """The 48 scale lines: 24 keys, two hands."""
    yield from _lines("scale", _SCALES, _STEPS)


def arpeggios() -> Iterator[Line]:
    """The 48 arpeggio lines."""
    yield from _lines("arpeggio", _ARPEGGIOS, _TRIADS)


def _lines(
    kind: str, table: tuple[tuple[str, str, str], ...], steps: dict[bool, tuple[int, ...]]
) -> Iterator[Line]:
    for names, right, left in table:
        for name in names.split():
            for hand, wanted, low in ((Hand.RIGHT, right, 60), (Hand.LEFT, left, 36)):
                tonic = low + _TONICS[name]
                degrees = steps[name[0].isupper()]
                rising = [tonic + 12 * octave + step for octave in (0, 1) for step in degrees]
                rising.append(tonic + 24)
                yield Line(kind, name, hand, (*rising, *rising[-2::-1]), wanted)


def chromatic(hand: Hand) -> Line:
    """Two octaves from C: 3 on black; 2 on F and C (left E and B); 1 on the other whites."""
    low = 60 if hand is Hand.RIGHT else 36
    seconds = (0, 5) if hand is Hand.RIGHT else (4, 11)
    rising = range(low, low + 25)
    wanted = "".join(
        "3" if key % 12 in (1, 3, 6, 8, 10) else "2" if key % 12 in seconds else "1"
        for key in rising
    )
    return Line("scale", "chromatic", hand, (*rising, *rising[-2::-1]), wanted)


def main() -> None:
    """Print every line that differs, then the counts."""
    for title, lines in (
        ("scales", list(scales())),
        ("arpeggios", list(arpeggios())),
        ("chromatic scales", [chromatic(hand) for hand in Hand]),
    ):
        missed = 0
        for each in lines:
            computed = each.computed()
            if each.misses(computed):
                missed += 1
                print(f"{each.kind} {each.key} {each.hand}: {computed}, handbook {each.wanted}")
        print(f"{title}: {len(lines) - missed} of {len(lines)}")


if __name__ == "__main__":
    main()
