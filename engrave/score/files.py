"""The bytes of a score file, opened with care.

Enters: a path. Leaves: the root of its XML. Knows nothing of music.
"""

import hashlib
import io
import zipfile
from pathlib import Path
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from engrave.errors import EngraveError

_CONTAINER = "META-INF/container.xml"


def read_bytes(path: Path) -> tuple[bytes, str]:
    """The file's bytes and their SHA-256 digest in hex. Raises ``EngraveError``."""
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        raise EngraveError(f"there is no score {path.name}", hint=f"looked for {path}") from None
    except OSError as error:
        raise EngraveError(f"{path.name} cannot be read: {error.strerror}") from None
    return data, hashlib.sha256(data).hexdigest()


def music_xml(data: bytes, name: str) -> Element:
    """The root of a MusicXML file, compressed or not. Raises ``EngraveError``."""
    if data[:2] == b"PK":
        data = _unpacked(data, name)
    try:
        return ElementTree.fromstring(data)
    except ElementTree.ParseError as error:
        raise EngraveError(f"{name} is not well-formed XML: {error}") from None


def _unpacked(data: bytes, name: str) -> bytes:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        container = ElementTree.fromstring(archive.read(_CONTAINER))
        inner = next(
            entry.get("full-path", "")
            for entry in container.iter()
            if entry.tag.endswith("rootfile")
        )
        return archive.read(inner)
