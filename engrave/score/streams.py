"""Every format but MusicXML becomes raw bars, by way of a music21 score.

Enters: a music21 score, and the part that was asked for. Leaves: a ``RawScore``. Knows nothing of
sheets and hands. Each staff is a music21 part of its own here, and a voice belongs to its staff.
"""

from collections.abc import Iterable, Sequence
from typing import Any

from engrave.score.expressions import printed_at
from engrave.score.parts import PartEntry, choose_part
from engrave.score.raw import Edge, Item, RawBar, RawEnding, RawPart, RawScore, Sign, merged
from engrave.units import Quarters, quarters

_SPANS = {
    "Slur": ("slur", "slur"),
    "Crescendo": ("wedge", "crescendo"),
    "Diminuendo": ("wedge", "diminuendo"),
    "PedalMark": ("pedal", "pedal"),
    "Ottava": ("octave-shift", "octave-up"),
}
_LOST = {
    "Glissando": "glissandi",
    "Line": "brackets and dashed lines",
    "TremoloSpanner": "tremolos between two notes",
    "TrillExtension": "wavy lines",
}
_BAR_STYLES = {"double": "light-light", "final": "light-heavy", "regular": None}


def read_stream(score: Any, asked: str | None, file: str) -> RawScore:
    """The keyboard part of a music21 ``Score``. Raises ``EngraveError`` as ``choose_part`` does."""
    groups = _grouped(score)
    entries = [
        PartEntry(index, _name(staves[0], index), len(staves))
        for index, staves in enumerate(groups)
    ]
    chosen = choose_part(entries, asked, file)
    staves = [staff for entry in chosen for staff in groups[entry.index]]
    part = merged([_staff_part(staff) for staff in staves])
    _add_spans(part, score, staves)
    metadata = score.metadata
    return RawScore(
        part=part,
        name=chosen[0].name,
        names=tuple(entry.name for entry in entries),
        title=(metadata and (metadata.title or metadata.movementName)) or "",
        composer=(metadata and metadata.composer) or "",
    )


def _grouped(score: Any) -> list[list[Any]]:
    """The staves of each part: two that one brace joins are a part of two staves."""
    braced = {}
    for group in score.getElementsByClass("StaffGroup"):
        staves = list(group.getSpannedElements())
        if group.symbol == "brace" and len(staves) == 2:
            braced.update({id(staff): staves for staff in staves})
    groups: list[list[Any]] = []
    for staff in score.parts:
        staves = braced.get(id(staff), [staff])
        if staff is staves[0]:
            groups.append(staves)
    return groups


def _name(staff: Any, index: int) -> str:
    return str(staff.partName or f"part {index + 1}")


def _staff_part(staff: Any) -> RawPart:
    part = RawPart([])
    for measure in staff.getElementsByClass("Measure"):
        bar = RawBar(
            name=measure.measureNumberWithSuffix(),
            implicit=not part.bars and measure.paddingLeft > 0,
            reach=quarters(measure.highestTime),
        )
        _take(bar, measure, "1", Quarters(0))
        for number, voice in enumerate(measure.voices, start=1):
            _take(bar, voice, str(number), quarters(voice.offset))
        _take_bar_lines(bar, measure)
        part.bars.append(bar)
    return part


def _take(bar: RawBar, elements: Iterable[Any], voice: str, shift: Quarters) -> None:
    for element in elements:
        classes, offset = element.classSet, quarters(element.offset) + shift
        if "Harmony" in classes:
            continue
        if "GeneralNote" in classes:
            bar.items.append(Item(element, offset, 1, voice, printed_at(element)))
        elif not {"Stream", "Barline", "Spanner"} & classes:
            bar.signs.append(Sign(element, offset, 1))


def _take_bar_lines(bar: RawBar, measure: Any) -> None:
    left, right = measure.leftBarline, measure.rightBarline
    for line in (left, right):
        if line is not None and "Repeat" in line.classSet:
            bar.repeat_start |= line.direction == "start"
            bar.repeat_end |= line.direction == "end"
    bar.left_style, bar.right_style = _style(left), _style(right)


def _style(line: Any) -> str | None:
    if line is None or "Repeat" in line.classSet:
        return None
    return _BAR_STYLES.get(line.type, line.type)


def _add_spans(part: RawPart, score: Any, staves: Sequence[Any]) -> None:
    places = {
        id(item.element): (index, item) for index, bar in enumerate(part.bars) for item in bar.items
    }
    measures = {
        id(measure): index
        for staff in staves
        for index, measure in enumerate(staff.getElementsByClass("Measure"))
    }
    for number, spanner in enumerate(score.recurse().getElementsByClass("Spanner")):
        ends = spanner.getFirst(), spanner.getLast()
        if "RepeatBracket" in spanner.classSet:
            first, last = (measures.get(id(end)) for end in ends)
            if first is not None and last is not None and not part.bars[first].endings:
                part.bars[first].endings.append(RawEnding("start", str(spanner.number)))
                part.bars[last].endings.append(RawEnding("stop", str(spanner.number)))
        elif all(id(end) in places for end in ends):
            _add_span(part, spanner, str(number), *(places[id(end)] for end in ends))


def _add_span(
    part: RawPart, spanner: Any, number: str, first: tuple[int, Item], last: tuple[int, Item]
) -> None:
    lost = next((name for cls, name in _LOST.items() if cls in spanner.classSet), None)
    found = next((names for cls, names in _SPANS.items() if cls in spanner.classSet), None)
    if lost or not found:
        part.lost[lost or "lines of other kinds"] += 1
        return
    group, kind = found
    size = 8
    if group == "octave-shift":
        kind = "octave-down" if "b" in spanner.type else "octave-up"
        size = int("".join(digit for digit in spanner.type if digit.isdigit()))
    for opens, (bar, item) in ((True, first), (False, last)):
        lasts = not opens and group != "slur"
        length = quarters(item.element.quarterLength) if lasts else Quarters(0)
        part.edges.append(
            Edge(
                group=group,
                kind=kind,
                opens=opens,
                number=number,
                bar=bar,
                offset=item.offset + length,
                staff=item.staff,
                item=item if group == "slur" else None,
                placement=getattr(spanner, "placement", None),
                size=size,
            )
        )
