"""music21 (10.5.1), loaded without its tests, which it imports, and what reads from networks."""

import os
from collections.abc import Iterator
from contextlib import contextmanager

from engrave.machine.later import put_off


def load_music21() -> None:
    """Import it."""
    names = ("music21.test", "music21.test.testRunner", "requests")
    with put_off(*names), _home_within_reach():
        import music21  # noqa: F401


@contextmanager
def _home_within_reach() -> Iterator[None]:
    """It looks for its settings at home, and falls over one that may not be searched."""
    home = os.environ.get("HOME")
    if home is None or os.access(home, os.X_OK):
        yield
        return
    os.environ["HOME"] = os.devnull
    try:
        yield
    finally:
        os.environ["HOME"] = home
