"""Whether fingers keep the rules that bind whatever the model; shares no code with the model.

``python -m tests.hand.obeying`` fingers the works of the sweep and some more, eight measures by
eight, counts and shows what breaks a rule, and names what the tool itself does not tell;
``… SCORE …`` takes whole scores.
Rules of the keyboard, common practice; reaches in semitones as published by Parncutt, Sloboda,
Clarke, Raekallio and Desain 1997 (MaxPrac), for a stretch of 21 cm.
"""

import argparse
import random
import tempfile
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import combinations, pairwise
from pathlib import Path

from engrave.drills import OPTIONS
from engrave.errors import Mistakes
from engrave.fingering import FIGURE, finger, unmet
from engrave.marks import read_marks
from engrave.music.notes import FingerOrigin, Hand
from engrave.music.onset import Onset
from engrave.passage.assembly import assemble
from engrave.passage.onsets import onsets as lines_of
from engrave.score import read_score
from tests.checks import sources
from tests.hand.lines import onsets_fingered
from tests.works import EVERYTHING, SWEPT, Work, corpus

FURTHER = tuple(
    Work(path.replace("/", "-").partition(".")[0], corpus() / path, EVERYTHING, part)
    for path, part in (
        ("schumann_clara/opus17/movement3.xml", "Piano"),
        ("schubert/Lindenbaum.xml", "Piano"),
        ("schumann_robert/opus48no2.mxl", ""),
        ("liliuokalani/aloha_oe.mxl", ""),
        ("beach/prayer_of_a_tired_child.musicxml", "Piano"),
        ("weber/concertino_clarinet.mxl", "Piano"),
    )
)
"""Works of the corpus beside those of the sweep."""
STRETCH_MM, TEMPO, MEASURES = 205.0, 100, 8

FARTHEST = {(1, 2): 10, (1, 3): 12, (1, 4): 14, (1, 5): 15, (2, 3): 5, (2, 4): 7, (2, 5): 10,
            (3, 4): 4, (3, 5): 7, (4, 5): 5}  # fmt: skip
BESIDE_MM = 3.0
"""Two fingers of a chord strike so far beside the middle of their keys, towards each other."""
_PLACES = {0: 0.5, 1: 0.9, 2: 1.5, 3: 2.1, 4: 2.5, 5: 3.5, 6: 3.857, 7: 4.5, 8: 5.0, 9: 5.5,
           10: 6.143, 11: 6.5}  # fmt: skip
"""Centres of keys in white keys from the left edge of C (equal-back model)."""
_BLACK = {1, 3, 6, 8, 10}
Fingers = Sequence[tuple[int, ...]]
Broken = tuple[int, str]


def mm(low: int, high: int) -> float:
    """From the centre of one key to that of another."""
    place = [7 * (key // 12) + _PLACES[key % 12] for key in (low, high)]
    return abs(place[1] - place[0]) * 165 / 7


def most_mm(one: int, other: int, stretch_mm: float) -> float:
    """How far two fingers reach."""
    pair = min(one, other), max(one, other)
    return FARTHEST[pair] * 165 / 12 * stretch_mm / 210 + 1e-3


def violations(
    onsets: Sequence[Onset], fingers: Fingers, hand: Hand, stretch_mm: float
) -> Iterator[Broken]:
    """The number of an onset and the rule that its fingers break."""
    keys = [[tone.pitch.midi for tone in onset.tones] for onset in onsets]
    held = [_held(onsets, number) for number in range(len(onsets))]
    for number, (here, taken) in enumerate(zip(keys, fingers, strict=True)):
        if number and _in_line(onsets, keys, held, number):
            quick = onsets[number].time - onsets[number - 1].time <= Fraction(1, 2)
            rule = _joined((keys[number - 1][0], fingers[number - 1][0]), (here[0], taken[0]),
                           quick, stretch_mm, 1 if hand is Hand.RIGHT else -1)  # fmt: skip
            if rule:
                yield number, rule
        if _too_wide(here, taken, stretch_mm) and mm(here[0], here[-1]) <= most_mm(
            1, 5, stretch_mm
        ):
            yield number, "long fingers struck together beyond their reach"
        outer = taken[-1] if hand is Hand.RIGHT else taken[0]
        allowed = (4, 5) if here[0] % 12 in _BLACK else (5,)
        on_the_way = number > 0 and _comes_inwards(onsets, keys, number, hand)
        bass = not on_the_way and _is_bass(keys, held, number, hand, stretch_mm)
        if bass and outer not in allowed:
            yield number, "bass of a leap without the fifth finger"
        if 3 <= len(here) <= 5 and not _legato(onsets, number) and outer != 5:
            yield number, "top of a chord by itself without the fifth finger"


def _held(onsets: Sequence[Onset], number: int) -> bool:
    """Whether a key struck before still sounds."""
    now = onsets[number].time
    return any(
        before.time + tone.length > now and tone.pitch not in onsets[number].pitches
        for before in onsets[max(0, number - 40) : number]
        for tone in before.tones
    )


def _follows(onsets: Sequence[Onset], number: int) -> bool:
    """Whether the onset follows the one before without rest or staccato."""
    before = onsets[number - 1]
    silent = all(
        each.time + tone.length < onsets[number].time
        for each in onsets[max(0, number - 40) : number]
        for tone in each.tones
    )
    return not silent and not {"staccato", "staccatissimo", "spiccato"} & set(before.articulations)


def _in_line(
    onsets: Sequence[Onset], keys: Sequence[list[int]], held: Sequence[bool], number: int
) -> bool:
    single = len(set(keys[number])) == len(set(keys[number - 1])) == 1
    return single and not held[number] and not held[number - 1] and _follows(onsets, number)


def _legato(onsets: Sequence[Onset], number: int) -> bool:
    after = number + 1 < len(onsets) and _follows(onsets, number + 1)
    return after or (number > 0 and _follows(onsets, number))


def _joined(
    before: tuple[int, int],
    after: tuple[int, int],
    quick: bool,
    stretch_mm: float,
    hand_sign: int,
) -> str:
    (start, first), (end, second) = before, after
    if start == end:
        return ""
    if first == second:
        slide = start % 12 in _BLACK and end % 12 not in _BLACK and abs(start - end) == 1
        return "one finger on two keys in a row" if quick and not slide else ""
    passes = (second == 1) == (hand_sign * (end - start) > 0) and 1 in (first, second)
    if passes and abs(end - start) >= 7 and mm(start, end) <= most_mm(1, 5, stretch_mm):
        return "thumb passed by a fifth or more"
    crossed = (second > first) != (hand_sign * (end - start) > 0) and 1 not in (first, second)
    if quick and crossed and abs(end - start) <= 4:
        return "long fingers crossed"
    far = mm(start, end) > most_mm(first, second, stretch_mm)
    within = mm(start, end) <= most_mm(1, 5, stretch_mm)
    return (
        "long fingers joined beyond their reach"
        if far and within and 1 not in (first, second)
        else ""
    )


def some_line_obeys(keys: Sequence[int], hand: Hand, stretch_mm: float) -> bool:
    """Whether any fingers take a quick line of single keys without breaking a rule."""
    return not fewest_broken(keys, hand, stretch_mm)


def fewest_broken(keys: Sequence[int], hand: Hand, stretch_mm: float) -> int:
    """How many rules the best fingers of all break in a quick line of single keys."""
    sign = 1 if hand is Hand.RIGHT else -1
    counts = dict.fromkeys(range(1, 6), 0)
    for start, end in pairwise(keys):
        counts = {
            second: min(
                count + bool(_joined((start, first), (end, second), True, stretch_mm, sign))
                for first, count in counts.items()
            )
            for second in range(1, 6)
        }
    return min(counts.values())


def _too_wide(keys: Sequence[int], fingers: Sequence[int], stretch_mm: float) -> bool:
    return any(
        mm(low, high) > most_mm(one, other, stretch_mm) + BESIDE_MM
        for (low, one), (high, other) in combinations(zip(keys, fingers, strict=True), 2)
        if 1 not in (one, other) and one != other
    )


def _is_bass(
    keys: Sequence[list[int]], held: Sequence[bool], number: int, hand: Hand, stretch_mm: float
) -> bool:
    if (
        len(keys[number]) > 1
        or held[number]
        or number + 1 == len(keys)
        or len(keys[number + 1]) < 2
    ):
        return False
    here, chord = keys[number][0], keys[number + 1]
    inner = chord[0] if hand is Hand.RIGHT else chord[-1]
    inwards = inner < here if hand is Hand.RIGHT else inner > here
    return inwards and mm(here, inner) > most_mm(1, 5, stretch_mm)


def _comes_inwards(
    onsets: Sequence[Onset], keys: Sequence[list[int]], number: int, hand: Hand
) -> bool:
    """Whether a single key further out is struck just before, and joined."""
    before, here = keys[number - 1], keys[number]
    if len(before) > 1 or not _follows(onsets, number):
        return False
    return before[0] > here[0] if hand is Hand.RIGHT else before[0] < here[0]


def unlike_figures(onsets: Sequence[Onset], fingers: Fingers) -> Iterator[tuple[int, int]]:
    """Pairs of onsets that stand alike in a figure that comes again, and are fingered otherwise.

    A figure, nothing held beside it, comes again two onsets or more further on, white keys for
    white and black for black, every key as many white keys away; with two onsets alike on either
    side of what is compared.
    What only rises or falls counts only in the same keys, in any octave, nine of them: in a
    sequence of scales fewer of the same keys stand elsewhere in the figure.
    """
    cells = [tuple(_letter(tone.pitch.midi) for tone in onset.tones) for onset in onsets]
    for shift in range(2, len(cells)):
        start = 0
        while start + shift < len(cells):
            end = start
            while end + shift < len(cells) and _moved(cells, start, end, shift):
                end += 1
            if end - start >= 5 and _is_figure(cells, start, end, shift):
                for number in range(start + 2, end - 2):
                    alone = not _held(onsets, number) and not _held(onsets, number + shift)
                    if alone and fingers[number] != fingers[number + shift]:
                        yield number, number + shift
            start = max(end, start + 1)


def _letter(key: int) -> tuple[int, bool]:
    black = key % 12 in _BLACK
    return 7 * (key // 12) + int(_PLACES[key % 12] - (0.6 if black else 0)), black


def _moved(cells: Sequence[tuple[tuple[int, bool], ...]], start: int, at: int, shift: int) -> bool:
    """Whether two cells are alike, moved as the first two of the figure are."""
    away = cells[start + shift][0][0] - cells[start][0][0]
    return cells[at + shift] == tuple((white + away, black) for white, black in cells[at])


def _is_figure(
    cells: Sequence[tuple[tuple[int, bool], ...]], start: int, end: int, shift: int
) -> bool:
    lows = [cell[0] for cell in cells[start:end]]
    steps = {(b > a) - (b < a) for a, b in pairwise(lows)} - {0}
    octaves = (cells[start + shift][0][0] - cells[start][0][0]) % 7 == 0
    return len(steps) == 2 or (len(steps) == 1 and octaves and end - start >= 9)


@dataclass
class Obeyed:
    """What was counted: onsets, broken rules by name, and those that nobody tells."""

    onsets: int = 0
    broken: Counter[str] = field(default_factory=Counter)
    untold: list[str] = field(default_factory=list)
    places: list[str] = field(default_factory=list)

    def add(self, onsets: Sequence[Onset], hand: Hand, stretch_mm: float, where: str) -> None:
        """Count what the fingers of a line break; ``where`` names the line."""
        fingers = [tuple(t.finger.number for t in each.tones if t.finger) for each in onsets]
        found = list(violations(onsets, fingers, hand, stretch_mm))
        told = {each.onset for each in unmet(onsets, hand, stretch_mm, TEMPO)}
        self.onsets += len(onsets)
        self.broken.update(rule for _, rule in found)
        self.places += [
            f"{where}, {hand} hand, {rule}{_avoidable(onsets, number, hand, stretch_mm)}:"
            f" {shown(onsets, fingers, number)}"
            for number, rule in found
        ]
        self.untold += [
            f"{where}, {hand} hand, measure {onsets[number].measure}: {rule}"
            for number, rule in found
            if number not in told and number < len(onsets) - 1 and not _given(onsets, number)
        ]
        unlike = list(unlike_figures(onsets, fingers))
        self.broken["figure fingered otherwise"] += len(unlike)
        self.places += [
            f"{where}, {hand} hand, figure fingered otherwise: {shown(onsets, fingers, there)};"
            f" first {shown(onsets, fingers, here)}"
            for here, there in unlike
        ]
        figures = [each for each in unmet(onsets, hand, stretch_mm, TEMPO) if each.rule == FIGURE]
        if (
            unlike
            and not figures
            and not all(_given(onsets, each, 0) for pair in unlike for each in pair)
        ):
            self.untold.append(f"{where}, {hand} hand: figures fingered otherwise")


def _avoidable(onsets: Sequence[Onset], number: int, hand: Hand, stretch_mm: float) -> str:
    """Whether some fingers take the line of single keys around an onset and break no rule."""
    keys = [[tone.pitch.midi for tone in onset.tones] for onset in onsets]
    held = [_held(onsets, at) for at in range(len(onsets))]
    first = last = number
    while first > max(number - 8, 0) and _in_line(onsets, keys, held, first):
        first -= 1
    while last + 1 < min(number + 8, len(onsets)) and _in_line(onsets, keys, held, last + 1):
        last += 1
    joined = [each[0] for each in keys[first : last + 1]]
    if first == last:
        return ""
    return ", avoidably" if some_line_obeys(joined, hand, stretch_mm) else ", with no way out"


def shown(onsets: Sequence[Onset], fingers: Fingers, number: int, around: int = 3) -> str:
    """The measure, and keys with fingers around an onset, which stands between bars."""
    words = []
    for at in range(max(number - around, 0), min(number + around + 1, len(onsets))):
        keys = "-".join(tone.pitch.spelling for tone in onsets[at].tones)
        word = f"{keys} {'-'.join(map(str, fingers[at]))}"
        words.append(f"| {word} |" if at == number else word)
    return f"m. {onsets[number].measure}: {', '.join(words)}"


def _given(onsets: Sequence[Onset], number: int, before: int = 1) -> bool:
    """Whether the fingers here, and at so many onsets before, are the score's own."""
    return all(
        tone.finger is not None and tone.finger.origin is not FingerOrigin.COMPUTED
        for onset in onsets[max(number - before, 0) : number + 1]
        for tone in onset.tones
    )


def obeyed(work: Work, share: float = 1.0, seed: int = 1) -> Obeyed:
    """A work's passages of eight measures, both hands, fingered as a booklet has them."""
    counts = Obeyed()
    with tempfile.TemporaryDirectory() as folder:
        path = work.write(Path(folder))
        names = list(sources.read_score(work.score, work.part).starts)
        starts = range(0, len(names), MEASURES)
        drawn = random.Random(seed).sample(starts, max(1, round(share * len(starts))))
        ranges = [names[at : at + MEASURES] for at in sorted(drawn)]
        lines = [f"  - {{measures: {each[0]}-{each[-1]}, hand: both}}\n" for each in ranges]
        path.write_text(path.read_text("utf-8") + "".join(lines), "utf-8")
        marks = read_marks(path, OPTIONS)
        score = read_score(marks.score.value, part=work.part or None, movement=None)
        for mark in marks.passages:
            try:
                passage = assemble(mark, score, marks.student.stretch_mm)
            except Mistakes:
                continue
            for hand in passage.hands:
                where = f"{work.name} {mark.measures.value}"
                counts.add(passage.lines[hand], hand, passage.stretch_mm[hand], where)
    return counts


def bare(path: Path) -> Obeyed:
    """A whole score, both hands, without its own fingers."""
    counts = Obeyed()
    sheet = read_score(path).sheet
    for hand in Hand:
        line = [
            replace(each, tones=tuple(replace(tone, finger=None) for tone in each.tones))
            for each in lines_of(sheet, hand)
        ]
        fingers = finger(line, hand, STRETCH_MM, TEMPO)
        counts.add(onsets_fingered(line, fingers), hand, STRETCH_MM, path.name)
    return counts


def main() -> None:
    """Finger, count and name."""
    words = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    words.add_argument("scores", nargs="*", type=Path, metavar="SCORE")
    given = words.parse_args().scores
    total, untold = Counter[str](), 0
    for name, counts in (
        *((path.name, bare(path)) for path in given),
        *((work.name, obeyed(work)) for work in (() if given else (*SWEPT, *FURTHER))),
    ):
        total.update(counts.broken)
        untold += len(counts.untold)
        print(f"{name}: {counts.onsets} onsets, {dict(+counts.broken) or 'nothing broken'}")
        print(*(f"  {each}\n" for each in counts.places), sep="", end="")
        print(*(f"  untold: {each}\n" for each in counts.untold), sep="", end="")
    print(dict(+total) or "no rule is broken", f"{untold} untold", sep="; ")


if __name__ == "__main__":
    main()
