"""Small helpers over ElementTree: enters a name, text and attributes, leaves an element."""

from collections.abc import Sequence
from xml.etree.ElementTree import Element, SubElement


def sub(parent: Element, tag: str, text: object = None, **attributes: object) -> Element:
    """Append ``<tag>`` to ``parent``; an attribute that is None is left out, ``_`` writes ``-``."""
    element = SubElement(parent, tag, _attributes(attributes))
    if text is not None:
        element.text = str(text)
    return element


def make(tag: str, text: object = None, **attributes: object) -> Element:
    """A free ``<tag>``, with attributes as in ``sub``."""
    element = Element(tag, _attributes(attributes))
    if text is not None:
        element.text = str(text)
    return element


def staff_number(staff: int, staves: Sequence[int]) -> int | None:
    """The number that a staff has in its part; None where it is the only one."""
    return staves.index(staff) + 1 if len(staves) > 1 else None


def _attributes(values: dict[str, object]) -> dict[str, str]:
    return {
        name.replace("_", "-"): str(value) for name, value in values.items() if value is not None
    }
