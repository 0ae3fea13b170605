"""Every format but MusicXML becomes raw bars, by way of a music21 score.

Enters: a music21 score, and the part that was asked for. Leaves: a ``RawScore``. Knows nothing of
sheets and hands. Each staff is a music21 part of its own here, and a voice belongs to its staff.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from typing import Any

from engrave.music.units import Quarters, quarters
from engrave.score.formats.expressions import printed_at
from engrave.score.formats.parts import (
    MOST_STAVES,
    PartEntry,
    choose_part,
    names_keyboard,
    staves_of,
)
from engrave.score.formats.raw import (
    Edge,
    RawBar,
    RawEnding,
    RawItem,
    RawPart,
    RawScore,
    RawSign,
    RawTempo,
    merged,
)
from engrave.score.titles import on_one_line, piece_in_work

_SPANS = {
    "Slur": ("slur", "slur"),
    "Crescendo": ("wedge", "crescendo"),
    "Diminuendo": ("wedge", "diminuendo"),
    "PedalMark": ("pedal", "pedal"),
    "Ottava": ("octave-shift", "octave-up"),
}
_LOST = {"Glissando": "glissandi", "Line": "brackets and dashed lines"}
_BAR_STYLES = {"double": "light-light", "final": "light-heavy", "regular": None}


def read_stream(score: Any, asked: str | None, file: str, shared: Sequence[int] = ()) -> RawScore:
    """The keyboard part of a music21 ``Score``. Raises ``EngraveError`` as ``choose_part`` does.

    ``shared``: which of the part's staves each music21 part is, where several are one.
    """
    _sound(score)
    groups = _grouped(score)
    entries = [
        PartEntry(index, _name(staves, index), len(staves)) for index, staves in enumerate(groups)
    ]
    chosen = choose_part(entries, asked, file)
    staves = [staff for entry in chosen for staff in groups[entry.index]]
    own = {id(staff) for staff in staves}
    others = [staff for staff in score.parts if id(staff) not in own]
    shared = shared if len(shared) == len(staves) else ()
    part = merged([_staff_part(staff) for staff in staves], shared)
    _add_spans(part, score, staves)
    metadata = score.metadata
    title = (metadata and (metadata.title or metadata.movementName)) or ""
    return RawScore(
        part=part,
        name=chosen[0].name,
        names=tuple(entry.name for entry in entries),
        title=piece_in_work(_work(metadata), title),
        composer=(metadata and metadata.composer) or "",
        staves=staves_of(chosen, entries, shared),
        tempos=[tempo for staff in others for tempo in _tempos(staff)],
        headers=[str(text) for text in (metadata and metadata.movementName, title) if text],
    )


def _work(metadata: Any) -> str:
    """The sonata or the collection that a piece is part of: Humdrum's ``OPR`` or ``GTL``."""
    found = [*metadata["parentTitle"], *metadata["groupTitle"]] if metadata else []
    return str(found[0]) if found else ""


def _tempos(staff: Any) -> Iterable[RawTempo]:
    """What another part says of the tempo."""
    for index, measure in enumerate(staff.getElementsByClass("Measure")):
        for element in measure:
            offset = quarters(element.offset)
            if "MetronomeMark" in element.classSet:
                text = "" if element.textImplicit else str(element.text or "")
                beat = quarters(element.referent.quarterLength)
                number = None if element.numberImplicit else element.number
                per_minute = Fraction(str(number)) if number else None
                yield RawTempo(index, offset, text, beat, per_minute)
            elif {"TempoText", "TextExpression"} & element.classSet:
                said = getattr(element, "content", None) or getattr(element, "text", "")
                yield RawTempo(index, offset, str(said))


def _sound(score: Any) -> None:
    """Notes under octave lines as they sound: some readers leave them as they are written."""
    for line in score.recurse().getElementsByClass("Ottava"):
        if line.transposing:
            line.performTransposition()


def _grouped(score: Any) -> list[list[Any]]:
    """The staves of each part: those that one brace joins, or of which all are the piano's."""
    braced = {}
    for group in score.getElementsByClass("StaffGroup"):
        staves = list(group.getSpannedElements())
        if 2 <= len(staves) <= MOST_STAVES and (
            group.symbol == "brace" or (len(staves) > 2 and _are_piano(staves))
        ):
            braced.update({id(staff): staves for staff in staves})
    groups: list[list[Any]] = []
    for staff in score.parts:
        staves = braced.get(id(staff), [staff])
        if staff is staves[0]:
            groups.append(staves)
    return groups


def _are_piano(staves: Sequence[Any]) -> bool:
    """Whether nothing names another instrument, and nothing is sung."""
    names = [staff.partName for staff in staves if staff.partName]
    sung = any(note.lyrics for staff in staves for note in staff.recurse().notes)
    return all(names_keyboard(name) for name in names) and not sung


def _name(staves: Sequence[Any], index: int) -> str:
    return on_one_line(str(next((s.partName for s in staves if s.partName), f"part {index + 1}")))


def _staff_part(staff: Any) -> RawPart:
    part = RawPart([])
    for measure in staff.getElementsByClass("Measure"):
        bar = RawBar(
            name=measure.measureNumberWithSuffix(),
            implicit=measure.showNumber.name == "NEVER",
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
            bar.items.append(RawItem(element, offset, 1, voice, printed_at(element)))
        elif not {"Stream", "Barline", "Spanner"} & classes:
            bar.signs.append(RawSign(element, offset, 1))


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


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a music21 element stands in the raw part; ``item`` for notes.

    ``renews``: the pedal is let go and taken again here.
    """

    bar: int
    offset: Quarters
    staff: int
    item: RawItem | None = None
    renews: bool = False

    @property
    def end(self) -> Quarters:
        """Where the note ends; an anchor has no length."""
        length = self.item.element.quarterLength if self.item else 0
        return self.offset + quarters(length)


def _places(part: RawPart) -> dict[int, _Place]:
    places = {}
    for index, bar in enumerate(part.bars):
        for item in bar.items:
            places[id(item.element)] = _Place(index, item.offset, item.staff, item)
        for sign in bar.signs:
            renews = "PedalBounce" in sign.element.classSet
            places[id(sign.element)] = _Place(index, sign.offset, sign.staff, renews=renews)
    return places


def _add_spans(part: RawPart, score: Any, staves: Sequence[Any]) -> None:
    places = _places(part)
    measures = {
        id(measure): index
        for staff in staves
        for index, measure in enumerate(staff.getElementsByClass("Measure"))
    }
    for number, spanner in enumerate(score.recurse().getElementsByClass("Spanner")):
        elements = spanner.getSpannedElements()
        here = [places[id(element)] for element in elements if id(element) in places]
        here.sort(key=_order)
        if "RepeatBracket" in spanner.classSet:
            _add_ending(part, spanner, [measures[id(m)] for m in elements if id(m) in measures])
        elif here and not _add_to_notes(spanner, [place.item for place in here if place.item]):
            _add_span(part, spanner, str(number), here)


def _add_to_notes(spanner: Any, items: Sequence[RawItem]) -> bool:
    """Print at its notes what music21 has as a spanner; False for what reaches between them."""
    classes = spanner.classSet
    signs = [item.printed[0] for item in items]
    if "ArpeggioMarkSpanner" in classes:
        for printed in signs:
            printed.arpeggio = True
    elif "TremoloSpanner" in classes and len(signs) == 2:
        for printed, end in zip(signs, ("start", "stop"), strict=True):
            printed.tremolo = f"{end}-{spanner.numberOfMarks}"
    elif "TrillExtension" in classes and signs:
        signs[-1].trill_line = "stop"
        signs[0].trill_line = "start"
    else:
        return False
    return True


def _add_ending(part: RawPart, bracket: Any, bars: Sequence[int]) -> None:
    if bars and not part.bars[bars[0]].endings:
        part.bars[min(bars)].endings.append(RawEnding("start", str(bracket.number)))
        part.bars[max(bars)].endings.append(RawEnding("stop", str(bracket.number)))


def _add_span(part: RawPart, spanner: Any, number: str, places: Sequence[_Place]) -> None:
    lost = next((name for cls, name in _LOST.items() if cls in spanner.classSet), None)
    found = next((names for cls, names in _SPANS.items() if cls in spanner.classSet), None)
    if lost or not found:
        part.bars[places[0].bar].lost[lost or "lines of other kinds"] += 1
        return
    group, kind = found
    edge = Edge(
        group=group,
        kind=kind,
        opens=True,
        number=number,
        bar=0,
        offset=Quarters(0),
        staff=places[0].staff,
        placement=getattr(spanner, "placement", None),
    )
    if group == "octave-shift":
        edge.kind = "octave-down" if "b" in spanner.type else "octave-up"
        edge.size = int("".join(digit for digit in spanner.type if digit.isdecimal()))
    renewed = [place for place in places[1:-1] if place.renews]
    for first, last in pairwise([places[0], *renewed, places[-1]]):
        part.edges += _ends(edge, first, last)


def _ends(edge: Edge, first: _Place, last: _Place) -> list[Edge]:
    """Both ends: a slur's on its notes, another span's where the first begins and the last ends."""
    on_notes = edge.group == "slur"
    return [
        replace(
            edge,
            bar=first.bar,
            offset=first.offset,
            item=first.item if on_notes else None,
        ),
        replace(
            edge,
            opens=False,
            bar=last.bar,
            offset=last.offset if on_notes else last.end,
            staff=last.staff,
            item=last.item if on_notes else None,
        ),
    ]


def _order(place: _Place) -> tuple[int, Quarters, bool, Quarters]:
    return (
        place.bar,
        place.offset,
        place.item is None or place.item.element.quarterLength > 0,
        place.end,
    )
