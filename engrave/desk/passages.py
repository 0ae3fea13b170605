"""The marked passages as the page shows them: where they lie, what stands in their fields.

Enters: the tree of a marks file, and the same with what it takes from another, the score, and the
passages as they were drilled. Leaves: plain data for JSON. A passage with mistakes is shown as far
as it can be placed.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence

from engrave.desk.systems import Beat
from engrave.errors import EngraveError
from engrave.music.onset import Onset
from engrave.music.ranges import MeasureRange, parse_range
from engrave.passage.model import Passage
from engrave.score import Score, locate

Shown = dict[str, object]


def span_of(score: Score, beats: Sequence[Beat], measures: MeasureRange) -> tuple[int, int] | None:
    """The first and the last beat of a range, by their index; None where the score has no such."""
    try:
        start, end = (score.sheet.time_of(moment) for moment in locate(score, measures))
    except EngraveError:
        return None
    times = [beat.time for beat in beats]
    return max(0, bisect_right(times, start) - 1), max(0, bisect_left(times, end) - 1)


def shown_passages(
    tree: object,
    whole: object,
    score: Score | None,
    beats: Sequence[Beat],
    drilled: Mapping[int, Passage],
) -> list[Shown]:
    """Every passage of the file, in its order; those of its base where it lists none.

    ``whole`` is the tree with what stands in the base; ``drilled`` are the passages that have
    drills, by their place.
    """
    own, shown = passages_in(tree), []
    for index, fields in enumerate(passages_in(whole)):
        held = _fields(own[index]) if index < len(own) else {}
        all_held = _fields(fields)
        measures = _range(all_held.get("measures"))
        span = span_of(score, beats, measures) if score and measures else None
        passage = drilled.get(index)
        shown.append(
            {
                "index": index,
                "number": str(all_held.get("number") or index + 1),
                "fields": held,
                "whole": all_held,
                "measures": str(measures) if measures else "",
                "span": span,
                "id": passage.id if passage else None,
                "lines": _lines(passage) if passage and score and span else {},
                "start": float(beats[span[0]].time) if span else None,
            }
        )
    return shown


def _fields(node: object) -> dict[str, object]:
    return node if isinstance(node, dict) else {}


def passages_in(tree: object) -> list[object]:
    """What stands in the list of passages."""
    passages = tree.get("passages") if isinstance(tree, dict) else None
    return passages if isinstance(passages, list) else []


def _lines(passage: Passage) -> dict[str, list[Shown]]:
    """The onsets of each hand of the passage: when, in which beat, and the fingers."""
    return {str(hand): [_onset(each, passage) for each in passage.lines[hand]]
            for hand in passage.hands}  # fmt: skip


def _onset(onset: Onset, passage: Passage) -> Shown:
    fingers = [tone.finger for tone in onset.tones]
    return {
        "time": float(onset.time),
        "place": onset.place_in(passage.sheet),
        "fingers": [finger.number if finger else None for finger in fingers],
        "from": [str(finger.origin) if finger else "" for finger in fingers],
    }


def places_of(passage: Passage, hand: str) -> list[str]:
    """The measure and beat of every onset of a hand."""
    line = next((line for each, line in passage.lines.items() if str(each) == hand), ())
    return [each.place_in(passage.sheet) for each in line]


def _range(text: object) -> MeasureRange | None:
    try:
        return parse_range(text) if isinstance(text, str) else None
    except EngraveError:
        return None
