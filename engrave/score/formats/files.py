"""The bytes of a score file, unpacked and parsed with care.

Enters: bytes. Leaves: the text in them, or the root of their XML. Knows nothing of music.
A file may come from anyone: it is held to sizes, may declare no entities, and nothing outside it
is ever read.
"""

import io
import lzma
import zipfile
import zlib
from pathlib import PurePosixPath
from typing import NoReturn
from xml.etree import ElementTree
from xml.etree.ElementTree import Element
from xml.parsers import expat

from engrave.errors import EngraveError

MAX_UNPACKED = 64 * 2**20
"""The most that a compressed score may unpack to."""

_CONTAINER = "META-INF/container.xml"
_MIB = 2**20
_UNPACKING = (
    zipfile.BadZipFile,
    zlib.error,
    lzma.LZMAError,
    RuntimeError,
    NotImplementedError,
    EOFError,
    OSError,
    ValueError,
)
"""What ``zipfile`` raises at archives that are damaged, encrypted or of an unknown method."""


def xml_root(data: bytes, name: str) -> Element:
    """The root of an XML score, compressed or not. Raises ``EngraveError``."""
    data = unpacked(data, name)
    _refuse_entities(data, name)
    try:
        return ElementTree.fromstring(data)
    except (ElementTree.ParseError, ValueError, LookupError) as error:
        line = getattr(error, "position", (0,))[0]
        raise EngraveError(
            f"{name} is damaged: its XML cannot be read"
            + (f" from line {line} on" if line else ""),
            hint="export the score again from the program that made it",
        ) from None


def text_of(data: bytes) -> str:
    """The text of a file in UTF-8 or, where it is not that, in Latin-1."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("latin-1")


def unpacked(data: bytes, name: str) -> bytes:
    """The score inside a compressed score; any other file as it is. Raises ``EngraveError``."""
    if data[:2] != b"PK":
        return data
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            _refuse_paths_outside(archive, name)
            return _member(archive, _score_in(archive, name), name, MAX_UNPACKED)
    except KeyError as error:
        raise EngraveError(f"{name} holds no score: {error.args[0]}") from None
    except _UNPACKING as error:
        raise EngraveError(f"{name} cannot be unpacked: {error}") from None


def _refuse_paths_outside(archive: zipfile.ZipFile, name: str) -> None:
    for member in archive.namelist():
        path = PurePosixPath(member.replace("\\", "/"))
        if path.is_absolute() or ".." in path.parts or ":" in member:
            raise EngraveError(
                f"{name} is refused: it holds a file that would lie outside it",
                hint=f"its name is {member!r}; export the score again",
            )


def _score_in(archive: zipfile.ZipFile, name: str) -> str:
    container = _member(archive, _CONTAINER, name, _MIB)
    _refuse_entities(container, name)
    try:
        entries = ElementTree.fromstring(container).iter()
    except ElementTree.ParseError as error:
        raise EngraveError(f"{name}: its container is not well-formed XML: {error}") from None
    paths = (entry.get("full-path") for entry in entries if entry.tag.endswith("rootfile"))
    path = next(filter(None, paths), None)
    if path is None:
        raise EngraveError(f"{name} holds no score: its container names none")
    return path


def _member(archive: zipfile.ZipFile, member: str, name: str, most: int) -> bytes:
    with archive.open(member) as file:
        data = file.read(most + 1)
    if len(data) > most:
        raise EngraveError(
            f"{name} is refused: it unpacks to more than {most // _MIB} MiB",
            hint="no score of this kind is as large; export it again",
        )
    return data


class _PrologReadError(Exception):
    """The document's own element begins: no declaration can follow."""


def _refuse_entities(data: bytes, name: str) -> None:
    """Entities can be declared before the first element only: there is no need to read on."""

    def declared(entity: str, *_: object) -> NoReturn:
        raise EngraveError(
            f"{name} is refused: it declares the XML entity {entity!r}",
            hint="scores need none; export it again",
        )

    def begun(*_: object) -> NoReturn:
        raise _PrologReadError

    parser = expat.ParserCreate()
    parser.EntityDeclHandler = declared
    parser.StartElementHandler = begun
    try:
        parser.Parse(data, True)
    except (_PrologReadError, expat.ExpatError, ValueError, LookupError):
        return  # what is malformed is told by the reading itself
