"""What is made and not looked at for long, held packed.

Enters: bytes. Leaves: the same bytes, each time they are asked for. Music is said in long words:
notation and drawings take a sixth of their room so. In memory and not in files, so that no disk can
be full and nothing is left behind by whoever is killed.
"""

import zlib
from collections.abc import Iterable, Iterator, Mapping, MutableMapping
from dataclasses import dataclass

_FAST = 1


@dataclass(frozen=True, slots=True)
class Packed:
    """Some bytes, packed."""

    packed: bytes

    @classmethod
    def of(cls, content: bytes) -> "Packed":
        """``content``, packed."""
        return cls(zlib.compress(content, _FAST))

    @classmethod
    def of_pieces(cls, pieces: Iterable[bytes]) -> "Packed":
        """What ``pieces`` are together, of which no more than one is held as it is."""
        packing = zlib.compressobj(_FAST)
        return cls(b"".join([*map(packing.compress, pieces), packing.flush()]))

    @property
    def content(self) -> bytes:
        """The bytes."""
        return zlib.decompress(self.packed)


class PackedFiles(MutableMapping[str, bytes]):
    """Files by name; one that is read is unpacked, and not held."""

    def __init__(self, files: Mapping[str, bytes] | Iterable[tuple[str, bytes]] = ()) -> None:
        self._packed: dict[str, Packed] = {}
        self.update(files)

    def hold(self, name: str, packed: Packed) -> None:
        """Add a file that is packed already."""
        self._packed[name] = packed

    def add(self, files: "PackedFiles") -> None:
        """Add others, packed as they are."""
        self._packed.update(files._packed)

    def of(self, names: Iterable[str]) -> "PackedFiles":
        """Those files alone."""
        some = PackedFiles()
        some._packed = {name: self._packed[name] for name in names}
        return some

    def __getitem__(self, name: str) -> bytes:
        return self._packed[name].content

    def __setitem__(self, name: str, content: bytes) -> None:
        self._packed[name] = Packed.of(content)

    def __delitem__(self, name: str) -> None:
        del self._packed[name]

    def __contains__(self, name: object) -> bool:
        return name in self._packed

    def __iter__(self) -> Iterator[str]:
        return iter(self._packed)

    def __len__(self) -> int:
        return len(self._packed)
