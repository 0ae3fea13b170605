"""The MusicXML 4.0 schema, as the ``musicxml`` package ships it."""

from functools import cache
from importlib.resources import files
from pathlib import Path

import xmlschema


@cache
def musicxml_schema() -> xmlschema.XMLSchema:
    """The schema, its two imports (of W3C schemas) taken from files instead of the network."""
    w3c = files("xmlschema") / "schemas"
    return xmlschema.XMLSchema(
        str(files("musicxml") / "generate_classes" / "musicxml_4_0.xsd"),
        locations={
            "http://www.w3.org/XML/1998/namespace": str(w3c / "XML" / "xml.xsd"),
            "http://www.w3.org/1999/xlink": str(w3c / "XLINK" / "xlink.xsd"),
        },
        allow="local",
    )


def schema_findings(path: Path) -> list[str]:
    return [
        f"{path.name}: not MusicXML 4.0: {error.reason} ({error.path})"
        for error in musicxml_schema().iter_errors(str(path))
    ]
