"""The ends of slurs, wedges, pedals and octave lines are joined to spans.

Enters: edges in the order of the file, and the voices. Leaves: ``Span``s in order of time, and how
many ends found no partner. Knows no notes.
"""

from collections import defaultdict
from dataclasses import replace

from engrave.music.sheet import Moment, Span
from engrave.score.building.voices import Voices
from engrave.score.formats.raw import Edge, RawPart

_NAMES = {
    "slur": "slurs",
    "wedge": "wedges",
    "pedal": "pedal signs",
    "octave-shift": "octave lines",
}


def join(part: RawPart, voices: Voices) -> tuple[Span, ...]:
    """The spans of ``part``; ends that are left are counted as lost, each in its bar.

    Ends belong together by number in the order of the file; where an end stands in the file before
    its beginning (a slur from the lower staff to the upper, both in one measure), it waits for it.
    """
    waiting: dict[tuple[str, str, bool], list[Edge]] = defaultdict(list)
    pairs: list[tuple[Edge, Edge]] = []
    for edge in part.edges:
        partner = _take(waiting[edge.group, edge.number, not edge.opens], edge)
        if partner is None:
            waiting[edge.group, edge.number, edge.opens].append(edge)
        else:
            pairs.append((edge, partner) if edge.opens else (partner, edge))
    for edge in (edge for group in waiting.values() for edge in group):
        part.bars[edge.bar].lost[f"{_NAMES[edge.group]} with one end only"] += 1
    spans = (
        _span(start, _on_main_note(end, part), voices)
        for start, end in pairs
        if not (_on_rest(start) or _on_rest(end))
    )
    real = (span for span in spans if span.start < span.end or span.from_grace)
    return tuple(sorted(real, key=lambda span: (span.start, span.end)))


def _take(candidates: list[Edge], edge: Edge) -> Edge | None:
    """The partner of ``edge``, taken out of ``candidates``: its own voice's, the latest."""
    fitting = [other for other in candidates if _fits(other, edge)]
    if not fitting:
        return None
    partner = max(fitting, key=lambda other: (_line(other) == _line(edge), _place(other)))
    candidates.remove(partner)
    return partner


def _line(edge: Edge) -> tuple[int, str]:
    return edge.staff, edge.item.voice if edge.item else ""


def _fits(earlier: Edge, edge: Edge) -> bool:
    """Whether ``edge`` may be the other end of one that stands earlier in the file."""
    if edge.opens:
        return earlier.bar == edge.bar and _place(edge) < _place(earlier)
    return _place(earlier) <= _place(edge)


def _place(edge: Edge) -> Moment:
    return Moment(edge.bar, edge.item.offset if edge.item else edge.offset)


def _on_rest(edge: Edge) -> bool:
    return edge.item is not None and edge.item.element.isRest


def _on_main_note(edge: Edge, part: RawPart) -> Edge:
    """An end on a grace note, moved to the note it leads to, or to the one that it follows."""
    item = edge.item
    if item is None or not item.element.duration.isGrace:
        return edge
    notes = [
        other
        for other in part.bars[edge.bar].items
        if (other.voice, other.staff) == (item.voice, item.staff)
        and other.offset <= item.offset
        and not (other.element.isRest or other.element.duration.isGrace)
    ]
    return replace(edge, item=max(notes, key=lambda other: other.offset, default=item))


def _voice(edge: Edge, voices: Voices) -> int:
    return voices.of(edge.bar, edge.item.voice, edge.item.staff) if edge.item else 1


def _span(start: Edge, end: Edge, voices: Voices) -> Span:
    return Span(
        kind=start.kind,
        start=_place(start),
        end=_place(end),
        staff=start.staff or 1,
        voice=_voice(start, voices),
        end_voice=_voice(end, voices),
        placement=start.placement,
        size=start.size,
        from_grace=start.item is not None and bool(start.item.element.duration.isGrace),
    )
