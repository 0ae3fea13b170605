"""music21 (10.5.1), loaded without its tests, which it imports, and what reads from networks."""

from engrave.machine.later import put_off


def load_music21() -> None:
    """Import it."""
    with put_off("music21.test", "music21.test.testRunner", "requests"):
        import music21  # noqa: F401
