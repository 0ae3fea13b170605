"""The reference of the marks file: every key, every family, every option.

Enters: a language. Leaves: lines of Markdown that are plain to read. What a key means stands in
``templates/reference/marks.toml``; families, options and variants come from the code that reads
them, so that none is forgotten.
"""

import tomllib
from collections.abc import Iterator
from textwrap import wrap
from typing import Any

from engrave.messages import ENGLISH
from engrave.words import TEMPLATES, say_family, say_variant

WIDTH = 96


def reference(language: str = ENGLISH) -> Iterator[str]:
    """The lines; keys are the same in every language, what they mean is said in ``language``."""
    from engrave.drills import FAMILIES
    from engrave.marks.options import Options, readers_of

    held, meanings = _held(language)
    page = meanings["page"]
    yield f"# {page['title']}"
    for section in held["titles"]:
        yield from ("", f"## {meanings['titles'][section]}", "")
        for key, (written, _) in held[section].items():
            yield from _entry(
                f"{key}: {meanings['written'].get(written, written)}", meanings[section][key]
            )
    yield from ("", f"## {page['families']}", "")
    yield from _wrapped(page["ladder"], "")
    for key, (written, _) in held["ladder"].items():
        yield from _entry(f"{key}: {written}", meanings["ladder"][key])
    for family in FAMILIES:
        own = [name for name in readers_of(family.options) if name not in readers_of(Options)]
        yield from ("", f"### {family.name} ({say_family(family.name, language)})", "")
        yield from (*_wrapped(meanings["families"][family.name], ""), "")
        for name in own:
            default = _default(getattr(family.options(), name))
            yield from _entry(f"{name}: {default}", meanings["options"][family.name][name])
        if not own:
            yield page["plain"]
        if family.variants:
            yield ""
            names = (_variant(family.name, each, language) for each in family.variants)
            yield from _wrapped(f"{page['variants']}: {', '.join(names)}.", "")


def _held(language: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """How everything is written, and what it means: in English what a language does not say."""
    held = tomllib.loads((TEMPLATES / "reference/marks.toml").read_text("utf-8"))
    meanings: dict[str, Any] = {
        section: {
            key: value[1] if isinstance(value, list) else value for key, value in table.items()
        }
        for section, table in held.items()
    }
    path = TEMPLATES / f"reference/marks.{language}.toml"
    if path.is_file():
        said = tomllib.loads(path.read_text("utf-8"))
        for section, table in said.items():
            if section == "options":
                for family, options in table.items():
                    meanings["options"].setdefault(family, {}).update(options)
            else:
                meanings[section].update(table)
    return held, meanings


def _variant(family: str, variant: str, language: str) -> str:
    if language == ENGLISH:
        return variant
    return f"{variant} ({say_variant(family, variant, language)})"


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
