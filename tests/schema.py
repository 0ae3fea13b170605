"""Validation against the MusicXML 4.0 schema, without the network.

Enters: a MusicXML document. Leaves: nothing, or an ``AssertionError`` with the schema's complaints.
The schema (W3C Music Notation Community Group, 2021) ships with the PyPI package ``musicxml``; the
two schemas that it imports, with ``xmlschema``.
"""

from functools import cache
from pathlib import Path

import musicxml
import xmlschema
from lxml import etree

_IMPORTS = Path(xmlschema.__file__).parent / "schemas"
_LOCATIONS = {
    "http://www.musicxml.org/xsd/xml.xsd": _IMPORTS / "XML" / "xml.xsd",
    "http://www.musicxml.org/xsd/xlink.xsd": _IMPORTS / "XLINK" / "xlink.xsd",
}


@cache
def _schema() -> etree.XMLSchema:
    path = Path(musicxml.__file__).parent / "generate_classes" / "musicxml_4_0.xsd"
    text = path.read_text(encoding="utf-8")
    for address, file in _LOCATIONS.items():
        assert address in text, address
        text = text.replace(address, file.as_uri())
    return etree.XMLSchema(etree.fromstring(text.encode()))


def validate(document: bytes) -> None:
    """Fail unless ``document`` is valid MusicXML 4.0."""
    parser = etree.XMLParser(no_network=True, load_dtd=False, resolve_entities=False)
    schema = _schema()
    if not schema.validate(etree.fromstring(document, parser)):
        complaints = [f"line {error.line}: {error.message}" for error in schema.error_log]  # type: ignore[attr-defined]
        raise AssertionError("\n".join(complaints))
