"""What was raised, as something to be told: a user's mistakes, or a failure of the tool's own.

Enters: an exception. Leaves: errors. Knows nothing of who tells them.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager

from engrave.errors import EngraveError, Mistakes, Source

_NOT_YOURS = "no mistake of yours: the rest may come out without what stands there"


class ToolFailure(Exception):
    """The tool's own failure, at the place in a file that it was busy with."""

    def __init__(self, reason: str, source: Source) -> None:
        super().__init__(reason, source)
        self.reason = reason
        self.source = source


@contextmanager
def busy_with(source: Source) -> Iterator[None]:
    """A failure of the tool's own in here is a ``ToolFailure`` at ``source``."""
    try:
        yield
    except ToolFailure:
        raise
    except Exception as raised:
        if mistakes_in(raised) or is_refused(raised):
            raise
        raise ToolFailure(name_of(raised), source) from raised


def mistakes_in(raised: Exception) -> tuple[EngraveError, ...]:
    """What is wrong with an input, or out of reach; nothing where the failure is the tool's own."""
    if isinstance(raised, Mistakes):
        return raised.errors
    if isinstance(raised, EngraveError):
        return (raised,)
    if isinstance(raised, OSError) and raised.filename is not None:
        return (_out_of_reach(raised),)
    return ()


def is_refused(raised: Exception) -> bool:
    """Whether the system did not do what it was asked for: a full disk, a reader that is gone."""
    return isinstance(raised, OSError) and raised.filename is None


def failure(raised: Exception) -> EngraveError:
    """That the tool failed, how, and where it was."""
    if isinstance(raised, ToolFailure):
        return EngraveError(f"the tool failed: {raised.reason}", raised.source, _NOT_YOURS)
    return EngraveError(f"the tool failed: {name_of(raised)}")


def name_of(raised: Exception) -> str:
    """An exception as its own makers read it."""
    return f"{type(raised).__name__}: {raised}"


def _out_of_reach(error: OSError) -> EngraveError:
    reason = error.strerror or type(error).__name__
    return EngraveError(
        f"it cannot be reached: {reason}",
        Source(os.fsdecode(error.filename)),
        "look at its permissions and at those of the folders above it",
    )
