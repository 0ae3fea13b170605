"""What is to be said, before it is said in a language.

``words`` makes sentences of ``Remark``s; whoever has something to say makes these. The type alone.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Remark:
    """A sentence not yet in any language: its key in the word lists, and its values."""

    key: str
    values: tuple[tuple[str, object], ...] = ()

    @classmethod
    def of(cls, key: str, **values: object) -> "Remark":
        """``Remark.of("left-out.graces", count=3)``."""
        return cls(key, tuple(sorted(values.items())))
