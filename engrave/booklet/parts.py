"""A booklet's HTML taken apart where templates say so: what may be laid out by itself.

Enters: the whole HTML, the SVG of its pictures. Leaves: ``Parts``. A part is one element of the
body, told from the next by ``MARK``; it knows of the one before it no more than its first tag,
which is all that style sheets may ask of it.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import blake2b
from html import unescape

MARK = "<!-- part -->"
"""Stands before every part. Comments in what people write are escaped."""

_PICTURE = re.compile(r'"picture:([^"]+)"')
_FIRST_TAG = re.compile(r"\s*<(\w+)(?:[^>]*?(\sclass=\"[^\"]*\"))?[^>]*>")


@dataclass(frozen=True, slots=True)
class Part:
    """``digest`` tells whether it is the same, ``opening`` whether it begins with the same tag."""

    html: str
    pictures: tuple[str, ...]
    digest: str
    opening: str
    before: str

    @property
    def first_tag(self) -> str:
        """Its element without attributes but ``class``, and without contents."""
        found = _FIRST_TAG.match(self.html)
        return f"<{found[1]}{found[2] or ''}></{found[1]}>" if found else ""


@dataclass(frozen=True, slots=True)
class Parts:
    """All of them, and what is said of the whole; ``pictures``: the SVG that they name, by name."""

    language: str
    title: str
    author: str
    css: str
    body: str
    parts: tuple[Part, ...]
    pictures: Mapping[str, bytes]

    def html(self, number: int) -> str:
        """A part by itself, behind the first tag of the one before it."""
        part = self.parts[number]
        language = f' lang="{self.language}"' if self.language else ""
        return (
            f"<!DOCTYPE html><html{language}><head></head>"
            f"<body{self.body}>{part.before}{part.html}</body></html>"
        )


def parts_of(html: str, pictures: Mapping[str, bytes]) -> Parts:
    """``html`` in its parts."""
    head, _, rest = html.partition("<body")
    attributes, _, body = rest.partition(">")
    css = "\n".join(re.findall(r"<style>(.*?)</style>", head, re.DOTALL))
    language = _found(r'<html[^>]*? lang="([^"]*)"', head)
    pieces = [piece for piece in body.partition("</body>")[0].split(MARK) if piece.strip()]
    shared = f"{language}\0{css}\0{attributes}"
    parts: list[Part] = []
    for piece in pieces:
        before = parts[-1].first_tag if parts else ""
        names = tuple(name for name in dict.fromkeys(_PICTURE.findall(piece)) if name in pictures)
        opening = _FIRST_TAG.match(piece)
        digest = blake2b(f"{shared}\0{before}\0{piece}".encode(), digest_size=20)
        begun = f"{shared}\0{before}\0{opening[0] if opening else piece}".encode()
        for name in names:
            digest.update(blake2b(pictures[name], digest_size=20).digest())
        opened = blake2b(begun, digest_size=20).hexdigest()
        parts.append(Part(piece, names, digest.hexdigest(), opened, before))
    return Parts(
        language,
        unescape(_found(r"<title>(.*?)</title>", head)),
        unescape(_found(r'<meta name="author" content="([^"]*)"', head)),
        css,
        attributes,
        tuple(parts),
        pictures,
    )


def _found(pattern: str, text: str) -> str:
    found = re.search(pattern, text, re.DOTALL)
    return found[1] if found else ""
