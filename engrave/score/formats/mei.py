"""MEI, by converter21, with the fingerings of its ``fing`` elements.

Enters: the root of a file. Leaves: music21 scores, one for each of its movements, whose notes carry
their fingers, and the measures of which nothing could be read. Knows nothing of sheets.
"""

import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from engrave.music.units import Quarters, quarters
from engrave.score.formats.fingerings import digits, finger
from engrave.score.formats.mei_measures import MEI, NAMESPACE, emptied, illegible

_TIME = re.compile(r"\d{1,4}(\.\d{1,6})?")
_STAFF = re.compile(r"\d{1,3}")
_READ_AS = "5.0"


@dataclass(slots=True)
class _Fingers:
    """Fingers by the id of their note or chord, and by measure, staff and time stamp."""

    by_id: dict[str, list[int]] = field(default_factory=lambda: defaultdict(list))
    by_time: dict[tuple[int, int, Quarters], list[int]] = field(
        default_factory=lambda: defaultdict(list)
    )


MOST_UNREAD = 20
"""Measures at which the reader may stop; a file with more is damaged as a whole."""


@dataclass(frozen=True, slots=True)
class Mei:
    """A movement of an MEI file; ``unread`` are its measures, counted from 0, that stand empty."""

    score: Any
    unread: dict[int, str]


def mei_scores(root: Element) -> list[Mei]:
    """Each ``mdiv`` as it was read. Other versions of MEI are read as version 5."""
    if root.get("meiversion", "")[:1] not in ("4", "5"):
        root.set("meiversion", _READ_AS)
    ElementTree.register_namespace("", NAMESPACE)
    measures = list(root.iter(f"{MEI}measure"))
    unread = illegible(measures)
    emptied(root, [measures[index] for index in unread])
    read, stopped = _read(root)
    while read is None:
        place, error = stopped
        if place is None or place in unread or len(unread) >= MOST_UNREAD:
            raise error
        unread[place] = f"the reader stopped at {' '.join(str(error).split())[:80]}"
        emptied(root, [measures[place]])
        read, stopped = _read(root)
    scores = list(read.scores) if "Opus" in read.classSet else [read]
    divisions = [div for div in root.iter(f"{MEI}mdiv") if div.find(f"{MEI}score") is not None]
    why = {id(measures[index]): text for index, text in unread.items()}
    movements = []
    for score, division in zip(scores, divisions, strict=False):
        _apply(score, _fingers(division))
        own = enumerate(division.iter(f"{MEI}measure"))
        movements.append(Mei(score, {n: why[id(each)] for n, each in own if id(each) in why}))
    return movements


def _read(root: Element) -> tuple[Any, tuple[int | None, Exception]]:
    """What music21 has of the tree; None where its reader stopped, in which measure, and why."""
    from converter21.mei import MeiReader

    class Attentive(MeiReader):  # type: ignore[misc]
        """Remembers the measure that it is reading."""

        reading: Element | None = None

        def measureFromElement(self, elem: Element, *others: Any) -> Any:  # noqa: N802
            self.reading = elem
            made = super().measureFromElement(elem, *others)
            self.reading = None
            return made

    reader = Attentive(ElementTree.tostring(root, encoding="unicode"))
    try:
        return reader.run(), (None, Exception())
    except Exception as error:
        measures = list(reader.documentRoot.iter(f"{MEI}measure"))
        return None, (measures.index(reader.reading) if reader.reading in measures else None, error)


def _fingers(division: Element) -> _Fingers:
    fingers = _Fingers()
    for index, measure in enumerate(division.iter(f"{MEI}measure")):
        for sign in measure.iter(f"{MEI}fing"):
            numbers = digits("".join(sign.itertext()))
            start, stamp = sign.get("startid"), sign.get("tstamp")
            if start:
                fingers.by_id[start.lstrip("#")] += numbers
            elif stamp and _TIME.fullmatch(stamp):
                staff = _STAFF.match(sign.get("staff", "1"))
                place = (index, int(staff[0]) if staff else 1, quarters(float(stamp)))
                fingers.by_time[place] += numbers
    return fingers


def _apply(score: Any, fingers: _Fingers) -> None:
    for number, part in enumerate(score.parts, start=1):
        for note in part.recurse().notes:
            for tones, name in _named(note):
                finger(tones, fingers.by_id.get(name, []), left=number > 1)
        for index, measure in enumerate(part.getElementsByClass("Measure")):
            _apply_by_time(measure, index, number, fingers)


def _named(note: Any) -> Iterator[tuple[list[Any], str]]:
    """The ids at which fingers may stand, and the notes that share them out."""
    yield [note], str(note.id)
    for tone in note.notes if note.isChord else ():
        yield [tone], str(tone.id)


def _apply_by_time(measure: Any, index: int, staff: int, fingers: _Fingers) -> None:
    stamps = [key for key in fingers.by_time if key[:2] == (index, staff)]
    if not stamps:
        return
    meter = measure.getContextByClass("TimeSignature")
    unit = Quarters(4, meter.denominator if meter else 4)
    for key in stamps:
        moment = (key[2] - 1) * unit
        here = [
            note
            for note in measure.recurse().notes
            if not note.duration.isGrace and quarters(note.getOffsetInHierarchy(measure)) == moment
        ]
        finger(here, fingers.by_time[key], left=staff > 1)
