"""The reference of the marks file: every key, every family, every option.

Enters: nothing. Leaves: lines of Markdown that are plain to read. What a key means stands in
``templates/reference/marks.toml``; families, options and variants come from the code that reads
them, so that none is forgotten.
"""

import tomllib
from collections.abc import Iterator
from textwrap import wrap

from engrave.words import TEMPLATES, say_family

WIDTH = 96
LADDER = ("reached", "goal", "start", "step")
"""Options that every family has."""


def reference() -> Iterator[str]:
    """The lines."""
    from engrave.drills import OPTIONS
    from engrave.marks.options import readers_of

    held = tomllib.loads((TEMPLATES / "reference/marks.toml").read_text("utf-8"))
    yield "# The marks file"
    for section, title in held["titles"].items():
        yield from ("", f"## {title}", "")
        for key, (written, meaning) in held[section].items():
            yield from _entry(f"{key}: {written}", meaning)
    yield from ("", "## Drill families", "")
    yield from _wrapped("Every family takes a ladder of its own:", "")
    for key, (written, meaning) in held["ladder"].items():
        yield from _entry(f"{key}: {written}", meaning)
    for family, kind in OPTIONS.items():
        own = [name for name in readers_of(kind) if name not in LADDER]
        yield from ("", f"### {family} ({say_family(family)})", "")
        for name in own:
            default = _default(getattr(kind(), name))
            yield from _entry(f"{name}: {default}", held["options"][family][name])
        if not own:
            yield "Takes no options beyond the ladder."
        if _variants(family):
            yield ""
            yield from _wrapped(f"Variants: {', '.join(_variants(family))}.", "")


def _variants(family: str) -> tuple[str, ...]:
    from engrave.drills import accents, patterns

    return {"rhythms": tuple(patterns.PATTERNS), "accents": accents.VARIANTS}.get(family, ())


def _default(value: object) -> str:
    """What holds where an option is not given, as the marks file writes it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple) and value:
        return f"[{', '.join(map(str, value))}]"
    return str(value) if value else "…"


def _entry(written: str, meaning: str) -> Iterator[str]:
    yield f"- `{written}`"
    yield from _wrapped(meaning, "  ")


def _wrapped(text: str, indent: str) -> list[str]:
    return wrap(
        text, WIDTH, initial_indent=indent, subsequent_indent=indent, break_on_hyphens=False
    )
