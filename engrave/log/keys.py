"""By which piece and which student a log's entries are known: keys that name nobody.

Enters: title, composer, movement, name. Leaves: ``Keys``, the same as long as those are.
"""

from dataclasses import dataclass
from hashlib import sha256


@dataclass(frozen=True, slots=True)
class Keys:
    """The piece's and the student's, 16 hexadecimal digits each."""

    piece: str
    student: str


def keys_of(title: str, composer: str, movement: int | None, student: str) -> Keys:
    """The keys; capitals and runs of space make no difference."""
    return Keys(
        _key("piece", title, composer, str(movement or "")),
        _key("student", student),
    )


def _key(*parts: str) -> str:
    told = "\n".join(" ".join(part.casefold().split()) for part in parts)
    return sha256(told.encode()).hexdigest()[:16]
