"""What a user is told when an input is wrong.

A ``Source`` is a place in a file the user wrote; it travels with every mark to the last stage, so
that a failure while engraving still names the line in the YAML. Modules raise ``EngraveError`` for
one mistake or ``Mistakes`` for all of a file's mistakes together; only ``cli`` prints them.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from types import TracebackType

from engrave.remarks import Remark


def counted(count: int, what: str, several: str = "") -> str:
    """``1 drill``, ``2 drills``; ``several`` where they are more than an s away."""
    return f"{count} {what if count == 1 else several or what + 's'}"


@dataclass(frozen=True, slots=True, order=True)
class Source:
    """A place in a file: line and column count from 1; 0 means the file as a whole."""

    file: str
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        """``file:line:column``, as compilers and editors print it."""
        if not self.line:
            return self.file
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class Notice:
    """Something the user should know that stops nothing.

    ``remark``: what ``message`` says in English, where that is a sentence of the word lists.
    """

    message: str
    source: Source | None = None
    remark: Remark | None = field(default=None, compare=False)

    def __str__(self) -> str:
        """``file:line:column: warning: …``."""
        return (
            f"{self.source}: warning: {self.message}" if self.source else f"warning: {self.message}"
        )


class EngraveError(Exception):
    """One mistake in an input, where it stands, and what to do about it.

    ``missing``: the key of a marks file that would mend it, from the top: ``("tempo", "goal")``.
    """

    def __init__(
        self,
        message: str,
        source: Source | None = None,
        hint: str = "",
        missing: tuple[str, ...] = (),
    ) -> None:
        super().__init__(message)
        self.message = message
        self.source = source
        self.hint = hint
        self.missing = missing

    def at(self, source: Source | None) -> "EngraveError":
        """The same error at ``source``, if there is one and it has no place of its own yet."""
        if self.source or source is None:
            return self
        return EngraveError(self.message, source, self.hint, self.missing)

    def __str__(self) -> str:
        """``file:line:column: error: …`` and, on a second line, the hint."""
        place = f"{self.source}: " if self.source else ""
        hint = f"\n  hint: {self.hint}" if self.hint else ""
        return f"{place}error: {self.message}{hint}"


class Mistakes(Exception):
    """All mistakes of one input, each once, in the order of their places."""

    def __init__(self, errors: Iterable[EngraveError]) -> None:
        each_once = {str(error): error for error in errors}.values()
        self.errors = tuple(sorted(each_once, key=lambda e: e.source or Source("")))
        super().__init__(f"{len(self.errors)} mistakes")

    def __reduce__(self) -> tuple[type["Mistakes"], tuple[tuple[EngraveError, ...]]]:
        """By what it is made of: mistakes of one process are told by another."""
        return Mistakes, (self.errors,)


class Together:
    """Mistakes that are found one by one, and raised together at the end.

    A ``with`` block of it keeps what is raised inside; the work goes on after the block.
    """

    def __init__(self) -> None:
        self._errors: list[EngraveError] = []

    def __enter__(self) -> "Together":
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> bool:
        found: Iterable[EngraveError] = ()
        if isinstance(error, Mistakes):
            found = error.errors
        elif isinstance(error, EngraveError):
            found = (error,)
        self._errors += found
        return bool(found)

    def raise_all(self) -> None:
        """Raise ``Mistakes`` with all that was kept, if anything was."""
        if self._errors:
            raise Mistakes(self._errors)
