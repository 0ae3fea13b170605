"""MEI measures of which nothing can be read.

Enters: measures of an MEI tree. Leaves: why a measure cannot be meant; the tree with rests there
and without whatever points into it. Knows no notes.
"""

from collections.abc import Sequence
from xml.etree.ElementTree import Element

NAMESPACE = "http://www.music-encoding.org/ns/mei"
MEI = f"{{{NAMESPACE}}}"
"""Before the names of MEI's elements."""
_ID = "{http://www.w3.org/XML/1998/namespace}id"
_KNOWN = {
    "dur": frozenset({"", "long", "breve", *(str(2**power) for power in range(12))}),
    "dots": frozenset(["", *"01234"]),
    "pname": frozenset(["", *"abcdefg"]),
    "oct": frozenset(["", *"0123456789"]),
}
"""What stands at notes and rests (MEI guidelines, version 5: ``data.DURATION.cmn`` and others)."""
_TIMED = ("note", "chord", "rest", "space")


def illegible(measures: Sequence[Element]) -> dict[int, str]:
    """The measures in which a length is written that no note has, and why."""
    return {
        index: why for index, measure in enumerate(measures) if (why := _why(measure)) is not None
    }


def _why(measure: Element) -> str | None:
    for element in (each for tag in _TIMED for each in measure.iter(f"{MEI}{tag}")):
        if any(element.get(name, "") not in known for name, known in _KNOWN.items()):
            return "it holds values or pitches that MEI does not know"
        if element.tag == f"{MEI}chord" and element.find(f".//{MEI}note") is None:
            return "it holds a chord without notes"
    return None


def emptied(root: Element, measures: Sequence[Element]) -> None:
    """Leave a rest on every staff of the measures, and nothing elsewhere that ends in them."""
    if not measures:
        return
    gone = {f"#{each.get(_ID)}" for measure in measures for each in measure.iter() if each.get(_ID)}
    for measure in measures:
        for child in list(measure):
            if child.tag != f"{MEI}staff":
                measure.remove(child)
                continue
            for part in list(child):
                child.remove(part)
            layer = Element(f"{MEI}layer", n="1")
            layer.append(Element(f"{MEI}mRest"))
            child.append(layer)
    for parent in root.iter():
        for child in list(parent):
            if any(child.get(name) in gone for name in ("startid", "endid")):
                parent.remove(child)
