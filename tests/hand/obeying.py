"""Whether fingers keep the rules that bind whatever the model; shares no code with the model.

``python -m tests.hand.obeying SCORE …`` fingers both hands of scores, counts what breaks a rule and
names the first places. Rules of the keyboard, common practice; reaches in semitones as published by
Parncutt, Sloboda, Clarke, Raekallio and Desain 1997 (MaxPrac), for a stretch of 21 cm.
"""

import argparse
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, pairwise
from pathlib import Path

from engrave.music.notes import Hand
from engrave.music.onset import Onset

FARTHEST = {(1, 2): 10, (1, 3): 12, (1, 4): 14, (1, 5): 15, (2, 3): 5, (2, 4): 7, (2, 5): 10,
            (3, 4): 4, (3, 5): 7, (4, 5): 5}  # fmt: skip
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
                           quick, stretch_mm)  # fmt: skip
            if rule:
                yield number, rule
        if _too_wide(here, taken, stretch_mm) and mm(here[0], here[-1]) <= most_mm(
            1, 5, stretch_mm
        ):
            yield number, "long fingers struck together beyond their reach"
        outer = taken[-1] if hand is Hand.RIGHT else taken[0]
        allowed = (4, 5) if here[0] % 12 in _BLACK else (5,)
        if _is_bass(keys, held, number, hand, stretch_mm) and outer not in allowed:
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


def _joined(before: tuple[int, int], after: tuple[int, int], quick: bool, stretch_mm: float) -> str:
    (start, first), (end, second) = before, after
    if start == end:
        return ""
    if first == second:
        slide = start % 12 in _BLACK and end % 12 not in _BLACK and abs(start - end) == 1
        return "one finger on two keys in a row" if quick and not slide else ""
    far = mm(start, end) > most_mm(first, second, stretch_mm)
    within = mm(start, end) <= most_mm(1, 5, stretch_mm)
    return (
        "long fingers joined beyond their reach"
        if far and within and 1 not in (first, second)
        else ""
    )


def _can_hold(keys: Sequence[int], stretch_mm: float) -> bool:
    """Whether any fingers in order take all keys at once."""
    return any(
        all(
            mm(keys[a], keys[b]) <= most_mm(trial[a], trial[b], stretch_mm)
            for a, b in combinations(range(len(keys)), 2)
        )
        for rising in combinations(range(1, 6), len(keys))
        for trial in (rising, rising[::-1])
    )


def _too_wide(keys: Sequence[int], fingers: Sequence[int], stretch_mm: float) -> bool:
    return any(
        mm(low, high) > most_mm(one, other, stretch_mm)
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


def unlike_figures(onsets: Sequence[Onset], fingers: Fingers) -> Iterator[tuple[int, int]]:
    """Pairs of onsets that stand alike in a figure that comes again, and are fingered otherwise.

    A figure comes again two onsets or more further on, white keys for white and black for black,
    every key as many white keys away; with two onsets alike on either side of what is compared.
    What only rises or falls counts only in the same keys, in any octave.
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
                    if fingers[number] != fingers[number + shift]:
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
    return len(steps) == 2 or (bool(steps) and octaves)


def main() -> None:
    """Finger scores, count and name."""
    from engrave.fingering import finger
    from engrave.passage.onsets import onsets
    from engrave.score import read_score

    words = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    words.add_argument("scores", nargs="+", type=Path, metavar="SCORE")
    total = Counter[str]()
    for path in words.parse_args().scores:
        sheet = read_score(path).sheet
        for hand in Hand:
            line = [
                replace(each, tones=tuple(replace(tone, finger=None) for tone in each.tones))
                for each in onsets(sheet, hand)
            ]
            found = finger(line, hand, 205.0, 100)
            broken = list(violations(line, found, hand, 205.0))
            broken += [(a, "figure fingered otherwise") for a, _ in unlike_figures(line, found)]
            total.update(rule for _, rule in broken)
            print(f"{path.name}, {hand} hand: {len(line)} onsets, {len(broken)} broken")
            for number, rule in broken[:5]:
                print(f"  measure {line[number].measure}: {rule}")
    print(dict(total) or "no rule is broken")


if __name__ == "__main__":
    main()
