"""What was raised, as something to be told: a user's mistakes, or a failure of the tool's own.

Enters: an exception. Leaves: errors. Knows nothing of who tells them.
"""

import os

from engrave.errors import EngraveError, Mistakes, Source


def mistakes_in(raised: Exception) -> tuple[EngraveError, ...]:
    """What is wrong with an input, or out of reach; nothing where the failure is the tool's own."""
    if isinstance(raised, Mistakes):
        return raised.errors
    if isinstance(raised, EngraveError):
        return (raised,)
    if isinstance(raised, OSError) and raised.filename is not None:
        return (_out_of_reach(raised),)
    return ()


def failure(raised: Exception) -> EngraveError:
    """That the tool failed, and how."""
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
