"""The pictures that a booklet names: those of its music, and what is drawn while it is set.

Enters: music by the name that the pages have for it. Leaves: SVG by name, of which none is held
as it is: music is asked for its drawing each time, all else is packed.
"""

from collections.abc import Iterator, Mapping, MutableMapping

from engrave.booklet.book import Picture
from engrave.machine.packed import PackedFiles


class Pictures(MutableMapping[str, bytes]):
    """SVG by name; ``music`` is not to be added to."""

    def __init__(self, music: Mapping[str, Picture]) -> None:
        self._music, self._drawn = music, PackedFiles()

    def __getitem__(self, name: str) -> bytes:
        music = self._music.get(name)
        return music.svg if music else self._drawn[name]

    def __setitem__(self, name: str, svg: bytes) -> None:
        self._drawn[name] = svg

    def __delitem__(self, name: str) -> None:
        del self._drawn[name]

    def __contains__(self, name: object) -> bool:
        return name in self._music or name in self._drawn

    def __iter__(self) -> Iterator[str]:
        yield from self._music
        yield from self._drawn

    def __len__(self) -> int:
        return len(self._music) + len(self._drawn)
