"""Which part of a score is the piano's.

Enters: the parts of a file, with their names and numbers of staves, and the name that was asked
for. Leaves: the part or parts to read. Knows no notes.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from engrave.errors import EngraveError

MOST_STAVES = 4
_KEYBOARDS = ("piano", "pianoforte", "klavier", "fortepiano", "clavier", "keyboard")


class PartError(EngraveError):
    """The part that is asked for cannot be read, or none is where one is needed."""


@dataclass(frozen=True, slots=True)
class PartEntry:
    """A part as the file lists it; ``index`` counts from 0, ``staves`` counts them.

    ``brace`` is the number of the brace that joins it to others, 0 where none does, or where it is
    named and is no keyboard.
    """

    index: int
    name: str
    staves: int
    brace: int = 0


def staves_of(
    chosen: Sequence[PartEntry], parts: Sequence[PartEntry], shared: Sequence[int] = ()
) -> tuple[tuple[int, ...], ...]:
    """The staves of the chosen parts, counted from 1 from the top of the score.

    ``shared`` says, where several of the file's staves are one of the part's, which.
    """
    first = {part.index: 1 + sum(other.staves for other in parts[: part.index]) for part in parts}
    counted = [
        staff
        for part in chosen
        for staff in range(first[part.index], first[part.index] + part.staves)
    ]
    own = shared or range(1, len(counted) + 1)
    return tuple(
        tuple(staff for staff, of in zip(counted, own, strict=True) if of == number)
        for number in sorted(set(own))
    )


def choose_part(parts: Sequence[PartEntry], asked: str | None, file: str) -> tuple[PartEntry, ...]:
    """The keyboard part: one part of two staves or more, or two of one staff each, upper first.

    Three or four of one staff each are one where they are all of the file, and one brace joins
    them, or one name.

    Raises ``PartError`` listing the parts where none was asked for and several could be it, or
    where the one that was asked for is not there, or has more than four staves.
    """
    if not parts:
        raise EngraveError(f"{file} has no parts with notes")
    if asked is not None:
        return _playable(_named(parts, asked, file))
    double = [part for part in parts if 2 <= part.staves <= MOST_STAVES]
    plain = [part for part in double if _is_keyboard(part)] or double
    if len(plain) == 1:
        return (plain[0],)
    if not double:
        if len(parts) == 1 or _are_one(parts):
            return _playable(tuple(parts))
        pair = [part for part in parts if _is_keyboard(part)] if len(parts) > 2 else list(parts)
        if len(pair) == 2:
            return _playable(tuple(pair))
    likely = (double or parts)[0].name
    raise PartError(
        f"{file} has several parts, and none is plainly the piano",
        hint=f"name the one to practise, as in part: {likely} in the marks or --part '{likely}' in "
        f"a command; the parts are {_listed(parts)}",
    )


def _named(parts: Sequence[PartEntry], asked: str, file: str) -> tuple[PartEntry, ...]:
    wanted = asked.strip().casefold()
    named = [part for part in parts if part.name.casefold() == wanted]
    begun = [part for part in parts if part.name.casefold().startswith(wanted)]
    if not named and len(begun) == 2 and all(part.staves == 1 for part in begun):
        named = begun  # "Piano" for "Piano right" and "Piano left"
    if not named:
        if len(parts) == 1:
            hint = f"its only part is {parts[0].name}: leave part out"
        else:
            names = {part.name.casefold(): part.name for part in parts}
            near = get_close_matches(wanted, names, n=2)
            meant = f"did you mean {names[near[0]]}? " if len(near) == 1 else ""
            hint = f"{meant}the parts are {_listed(parts)}"
        raise PartError(f"{file} has no part {asked!r}", hint=hint)
    are_staves = 2 <= len(named) <= MOST_STAVES and all(part.staves == 1 for part in named)
    return tuple(named) if are_staves else (named[0],)


def _playable(chosen: tuple[PartEntry, ...]) -> tuple[PartEntry, ...]:
    for part in chosen:
        if part.staves > MOST_STAVES:
            raise PartError(
                f"the part {part.name!r} has {part.staves} staves, where {MOST_STAVES} can be read",
                hint="put the notes of the others on these in the score",
            )
    return chosen


def _are_one(parts: Sequence[PartEntry]) -> bool:
    """Whether more than two parts are the staves of one keyboard."""
    braces, names = {part.brace for part in parts}, {part.name.casefold() for part in parts}
    is_named = len(names) == 1 and all(map(_is_keyboard, parts))
    return 2 < len(parts) <= MOST_STAVES and (is_named or (len(braces) == 1 and 0 not in braces))


def _is_keyboard(part: PartEntry) -> bool:
    return names_keyboard(part.name)


def names_keyboard(name: str) -> bool:
    """Whether a part of that name is a pianist's."""
    return any(word in name.casefold() for word in _KEYBOARDS)


def _listed(parts: Sequence[PartEntry]) -> str:
    *names, last = (part.name for part in parts)
    return f"{', '.join(names)} and {last}" if names else last
