"""What the tool tells, in the language of whoever reads it.

Enters: a message, a hint, an error or a notice, in English as the code raises it. Leaves: its text
in another language, or the English where that language has none: a message without a translation is
still a message. Knows no unit's messages: they stand in ``templates/messages/LANGUAGE.toml``, found
again by their English with a ``{name}`` where something was put in. What was put in is looked up
too, so that ``the goal`` in a sentence is a phrase of its own.
"""

import os
import re
import tomllib
from functools import cache
from pathlib import Path

from engrave.errors import EngraveError, Notice, Source
from engrave.machine import endings
from engrave.remarks import Remark
from engrave.words import LANGUAGE_NAMES, LANGUAGES, TEMPLATES, say, words

ENGLISH = "en"
DEEPEST = 4
PHRASES = frozenset(
    (
        *("asked", "beat", "beats", "by", "drills", "edition", "entries", "export", "files"),
        *("fingers", "found", "hand", "here", "hint", "keys", "message", "onsets", "pace", "range"),
        *("passages", "place", "reason", "said", "spaces", "staff", "wanted"),
        *("what", "where", "whose", "why"),
    )
)
"""Places that hold words, to be looked up in turn; at others stands what is to be typed."""
LISTS = frozenset(("inherited", "kinds", "listed", "missing", "packages", "parts", "reasons"))
"""Places that hold several things, parted by semicolons or with a word before the last."""
TYPED = frozenset(("choices", "example", "mark", "meant", "sign", "typed"))
"""Places that hold what is to be typed to the letter, quotation marks too."""
_PLACE = re.compile(r"\{([a-z_]+)\}")
_QUOTED = re.compile(r"(['\"])(.*)\1", re.DOTALL)
_COUNT = r"[^A-Za-z\s]+"
_NAMED = re.compile(rb"^language:[ \t]*[\"']?([A-Za-z]+)", re.MULTILINE)
_MOST_BYTES = 1 << 20

Phrase = tuple[re.Pattern[str], str]


def in_language(text: str, language: str, depth: int = 0) -> str:
    """``text`` in ``language``, as far as that has it."""
    if language == ENGLISH or language not in LANGUAGES or depth > DEEPEST or not text.strip():
        return text
    whole, patterns = _catalogue(language)
    if text in whole:
        return whole[text]
    for pattern, said in patterns:
        match = pattern.fullmatch(text)
        if match:
            return _filled(said, match.groupdict(), language, depth)
    return text


def _filled(said: str, values: dict[str, str], language: str, depth: int) -> str:
    put_in = {}
    for name, value in values.items():
        if name in TYPED:
            put_in[name] = value
        elif name in LISTS:
            parts = [_value(part, language, depth) for part in value.split("; ")]
            put_in[name] = "; ".join(parts).replace(" and ", str(words(language)["list"]["last"]))
        else:
            put_in[name] = _value(value, language, depth if name in PHRASES else DEEPEST)
    return _PLACE.sub(lambda place: put_in.get(place[1], place[0]), said)


def notice(remark: Remark, source: Source | None = None) -> Notice:
    """A notice that the word lists say in every language."""
    return Notice(say(remark), source, remark)


def message_of(what: EngraveError | Notice, language: str) -> str:
    """What is wrong, or to be known, without its place and hint."""
    if isinstance(what, Notice) and what.remark and language in LANGUAGES:
        return say(what.remark, language)
    return in_language(what.message, language)


def told(what: EngraveError | Notice, language: str) -> str:
    """An error or a notice as the command line prints it: place, kind, message, hint."""
    signs = _signs(language)
    place = f"{what.source}: " if what.source else ""
    kind = signs["warning"] if isinstance(what, Notice) else signs["error"]
    hint = "" if isinstance(what, Notice) else in_language(what.hint, language)
    message = message_of(what, language)
    return f"{place}{kind}: {message}" + (f"\n  {signs['hint']}: {hint}" if hint else "")


def language_for(path: Path | None, chosen: str | None = None) -> str:
    """``chosen``, else the language of the marks at ``path``, else the one of this machine."""
    if chosen:
        return chosen
    if path is not None and endings.is_marks(path):
        try:
            with path.open("rb") as file:
                match = _NAMED.search(file.read(_MOST_BYTES))
        except OSError:
            return language_here()
        named = match[1].decode().lower() if match else ENGLISH
        named = LANGUAGE_NAMES.get(named, named)
        return named if named in LANGUAGES else ENGLISH
    return language_here()


def language_here() -> str:
    """The language that this machine is set to, English where we have no words for it."""
    for name in ("LC_ALL", "LC_MESSAGES", "LANG"):
        if os.environ.get(name):
            named = os.environ[name][:2].lower()
            return named if named in LANGUAGES else ENGLISH
    return ENGLISH


def _value(value: str, language: str, depth: int) -> str:
    quoted = _QUOTED.fullmatch(value)
    return f"„{quoted[2]}“" if quoted else in_language(value, language, depth + 1)


@cache
def _catalogue(language: str) -> tuple[dict[str, str], list[Phrase]]:
    """Messages that are always the same, and patterns: most letters of their own first."""
    pairs = {
        english: said
        for section, table in _file(language).items()
        if section != "signs"
        for english, said in table.items()
    }
    whole = {english: said for english, said in pairs.items() if not _PLACE.search(english)}
    rest = sorted(pairs.keys() - whole.keys(), key=lambda each: (-len(_PLACE.sub("", each)), each))
    return whole, [(_pattern(english), pairs[english]) for english in rest]


def _pattern(english: str) -> re.Pattern[str]:
    parts = _PLACE.split(english)
    said = "".join(
        f"(?P<{part}>{_COUNT if part == 'n' else '.+?'})" if index % 2 else re.escape(part)
        for index, part in enumerate(parts)
    )
    return re.compile(said, re.DOTALL)


def _signs(language: str) -> dict[str, str]:
    if language == ENGLISH:
        return {"error": "error", "warning": "warning", "hint": "hint"}
    return _file(language).get("signs") or _signs(ENGLISH)


@cache
def _file(language: str) -> dict[str, dict[str, str]]:
    path = TEMPLATES / f"messages/{language}.toml"
    return tomllib.loads(path.read_text("utf-8")) if path.is_file() else {}
