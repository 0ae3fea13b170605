"""What stands around WeasyPrint's work: its complaints are raised, its leavings freed.

Enters: work, in a ``with`` block. Leaves: its value. Knows nothing of pages.
"""

import gc
import logging
import os
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

_MANY, _MANY_OF_LONG = 300_000, 100_000
"""Objects made and kept from which on those that only hold each other are worth looking for: that
takes time, and in a long booklet's first pages they are fifty megabytes."""
_LONG = 24
"""Passages of a long booklet."""


_sweeping = ContextVar("sweeping", default=False)


class MissingCharactersError(Exception):
    """No font of this machine has these ``characters``."""

    def __init__(self, characters: str) -> None:
        super().__init__(characters)
        self.characters = characters


def sweep(passages: int) -> None:
    """Free what long layouts left behind, also while Python is told not to look for it."""
    if gc.get_count()[0] > (_MANY_OF_LONG if passages > _LONG else _MANY):
        gc.collect()


@contextmanager
def swept() -> Iterator[None]:
    """Meanwhile ``sweep`` leaves alone what was made before: it may be much, and is to stay."""
    if _sweeping.get():
        yield
        return
    token = _sweeping.set(True)
    gc.freeze()
    try:
        yield
    finally:
        gc.unfreeze()
        _sweeping.reset(token)


@contextmanager
def no_complaints() -> Iterator[list[str]]:
    """A warning or an error that WeasyPrint logs meanwhile is raised; it raises none itself.

    Gives what was said so far.
    """
    found: list[str] = []
    missing: set[str] = set()
    heard: list[str] = []

    class Listener(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            heard.append(record.getMessage())
            if str(record.msg).startswith(".notdef glyph") and isinstance(record.args, tuple):
                missing.add(str(record.args[0]))
            else:
                found.append(record.getMessage())

    logger, listener = logging.getLogger("weasyprint"), Listener(logging.WARNING)
    logger.addHandler(listener)
    try:
        yield heard
    finally:
        logger.removeHandler(listener)
    if found:
        raise RuntimeError("; ".join(found))
    if missing:
        raise MissingCharactersError("".join(sorted(missing)))


@contextmanager
def fixed_dates() -> Iterator[None]:
    """The subset fonts carry a date; the same input is to give the same bytes on any day."""
    before = os.environ.get("SOURCE_DATE_EPOCH")
    os.environ["SOURCE_DATE_EPOCH"] = "0"
    try:
        yield
    finally:
        if before is None:
            del os.environ["SOURCE_DATE_EPOCH"]
        else:
            os.environ["SOURCE_DATE_EPOCH"] = before
