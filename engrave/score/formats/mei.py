"""MEI, by converter21, with the fingerings of its ``fing`` elements.

Enters: the root of a file. Leaves: music21 scores, one for each of its movements, whose notes carry
their fingers, and the measures that hold what no reader takes. Knows nothing of sheets.
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any
from xml.etree import ElementTree
from xml.etree.ElementTree import Element, SubElement

from engrave.music.units import Quarters, quarters
from engrave.score.formats.fingerings import digits, finger

NAMESPACE = "http://www.music-encoding.org/ns/mei"
_MEI = f"{{{NAMESPACE}}}"
_READ_AS = "5.0"
_DURATIONS = frozenset({"long", "breve", *(str(2**power) for power in range(12))})
"""``data.DURATION.cmn`` of the MEI guidelines, version 5."""
_TIMED = ("note", "chord", "rest", "space")


@dataclass(slots=True)
class _Fingers:
    """Fingers by the id of their note or chord, and by measure, staff and time stamp."""

    by_id: dict[str, list[int]] = field(default_factory=lambda: defaultdict(list))
    by_time: dict[tuple[int, int, Quarters], list[int]] = field(
        default_factory=lambda: defaultdict(list)
    )


def mei_scores(root: Element) -> list[Any]:
    """The music21 score of each ``mdiv``. Other versions of MEI are read as version 5."""
    from converter21.mei import MeiReader

    if root.get("meiversion", "")[:1] not in ("4", "5"):
        root.set("meiversion", _READ_AS)
    ElementTree.register_namespace("", NAMESPACE)
    read = MeiReader(ElementTree.tostring(root, encoding="unicode")).run()
    scores = list(read.scores) if "Opus" in read.classSet else [read]
    divisions = [div for div in root.iter(f"{_MEI}mdiv") if div.find(f"{_MEI}score") is not None]
    for score, division in zip(scores, divisions, strict=False):
        _apply(score, _fingers(division))
    return scores


def without_illegible(root: Element) -> tuple[str, ...]:
    """Empty the measures with values or pitches that MEI does not know; returns their numbers."""
    numbers = []
    for measure in root.iter(f"{_MEI}measure"):
        if not any(_is_illegible(each) for tag in _TIMED for each in measure.iter(f"{_MEI}{tag}")):
            continue
        numbers.append(measure.get("n", ""))
        for staff in measure.findall(f"{_MEI}staff"):
            for child in list(staff):
                staff.remove(child)
            layer = SubElement(staff, f"{_MEI}layer", n="1")
            SubElement(layer, f"{_MEI}mRest")
        for sign in [each for each in measure if each.tag != f"{_MEI}staff"]:
            measure.remove(sign)
    return tuple(numbers)


def _is_illegible(element: Element) -> bool:
    """Whether a note's or a rest's value, dots, step or octave are none of MEI's."""
    return (
        element.get("dur", "4") not in _DURATIONS
        or element.get("dots", "0") not in ("0", "1", "2", "3", "4")
        or element.get("pname", "c") not in tuple("abcdefg")
        or element.get("oct", "4") not in tuple("0123456789")
    )


def _fingers(division: Element) -> _Fingers:
    fingers = _Fingers()
    for index, measure in enumerate(division.iter(f"{_MEI}measure")):
        for sign in measure.iter(f"{_MEI}fing"):
            numbers = digits("".join(sign.itertext()))
            start, stamp = sign.get("startid"), sign.get("tstamp")
            if start:
                fingers.by_id[start.lstrip("#")] += numbers
            elif stamp:
                place = (index, int(sign.get("staff", "1").split()[0]), quarters(float(stamp)))
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
