"""A finger set on one note becomes words of the marks file.

Enters: the words that stand there, by the place from which they count, the places of the hand's
onsets, which onset, its word. Leaves: the words that are to stand there. Knows no YAML.
"""

from collections.abc import Mapping, Sequence

OPEN = "."
MOST_DOTS = 6
"""Onsets left open in one run of words; beyond them a new place is named."""


def with_word(
    words: Mapping[str, str], places: Sequence[str], onset: int, word: str
) -> dict[str, str | None]:
    """What changes in ``words`` when the onset gets ``word`` (``.`` leaves it open).

    ``words`` are those of one hand: ``{"46.1": "2 1 2"}``, counted from the first onset of that
    beat on; ``places`` are the measure and beat of every onset. None: the place is to go.
    """
    runs = {
        place: (places.index(_full(place)), text.split())
        for place, text in words.items()
        if _full(place) in places
    }
    for place, (first, run) in runs.items():
        if first <= onset < first + len(run):
            run[onset - first] = word
            return {place: _joined(run)}
    if word == OPEN:
        return {}
    before = [(first, place) for place, (first, _run) in runs.items() if first <= onset]
    if before:
        first, place = max(before)
        run = runs[place][1]
        gap = onset - first - len(run)
        if gap <= MOST_DOTS and (gap == 0 or _measure(places[onset]) == _measure(place)):
            return {place: _joined([*run, *[OPEN] * gap, word])}
    here = places[onset]
    return {here: " ".join([*[OPEN] * (onset - places.index(here)), word])}


def _joined(run: Sequence[str]) -> str | None:
    """The words without those at the end that say nothing; None where none is left."""
    kept = list(run)
    while kept and kept[-1] == OPEN:
        kept.pop()
    return " ".join(kept) if kept else None


def _full(place: str) -> str:
    """``46`` is the first beat of measure 46."""
    return place if "." in place else f"{place}.1"


def _measure(place: str) -> str:
    return place.partition(".")[0]
