"""music21 (10.5.1), loaded without what nobody here asks for.

It imports its tests, and what reads from networks. And it imports all of itself, so that everything
is at hand: who reads MusicXML needs half of it.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module

from engrave.machine.later import begin_bare, complete, put_off

_NEVER_USED = ("music21.test", "music21.test.testRunner", "requests")
_PACKAGES = ("music21", "music21.midi", "music21.musicxml")
"""Those whose other modules reading MusicXML has no need of."""
_IN_ORDER = ("music21.base", "music21.stream", "music21.musicxml.xmlToM21")
"""Otherwise they would be met half loaded: they import each other."""
_NOT_IN_XML = (
    "music21.converter.museScore",
    "music21.meter.tests",
    "music21.midi.tests",
    "music21.midi.translate",
    "music21.musedata",
    "music21.musicxml.testPrimitive",
    "music21.tree.examples",
    "urllib.request",
)


def load_music21() -> None:
    """Import all of it."""
    with put_off(*_NEVER_USED), _home_within_reach():
        import music21  # noqa: F401

        complete(*reversed(_PACKAGES))


def load_music21_for_xml() -> None:
    """Import what its parser of MusicXML takes; the rest comes where it is imported."""
    with put_off(*_NEVER_USED, *_NOT_IN_XML), _home_within_reach():
        begin_bare(*_PACKAGES)
        for name in _IN_ORDER:
            import_module(name)


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
