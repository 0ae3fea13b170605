"""The one place where sentences are made: remarks in, text of one language out.

Enters: a ``Remark`` (a key and values) and a language. Leaves: plain text, never markup. The words
stand in ``templates/words/LANGUAGE.toml``; this module knows how values are spelt, and nothing of
pages.

A sentence names its values in braces. What stands after the colon is either a way of spelling
(``note``, ``pitch``, ``measures``, ``variant``, ``number``, ``times``, ``.1f``) or a table of the
word list in which the value is looked up (``beat``, ``hand``, ``ordinal``). Where a sentence has
plurals, ``count`` chooses.
"""

import re
import tomllib
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from fractions import Fraction
from functools import cache
from pathlib import Path
from string import Formatter
from typing import Any

from engrave.errors import EngraveError
from engrave.music.notes import Pitch
from engrave.music.ranges import MeasureRange
from engrave.music.units import fraction_text
from engrave.remarks import Remark

_PACKAGE = Path(__file__).resolve().parent
TEMPLATES = next(
    folder for folder in (_PACKAGE / "templates", _PACKAGE.parent / "templates") if folder.is_dir()
)
"""Templates and word lists: inside the installed package, or at the top of the repository."""

LANGUAGES: tuple[str, ...] = tuple(sorted(file.stem for file in TEMPLATES.glob("words/*.toml")))

LANGUAGE_NAMES = {"deutsch": "de", "german": "de", "englisch": "en", "english": "en"}
"""What people call them."""

WordTable = Mapping[str, Any]


@cache
def words(language: str) -> WordTable:
    """The word list of ``language``; raises ``EngraveError`` for a language without one."""
    if language not in LANGUAGES:
        raise EngraveError(
            f"there are no words for the language {language!r}",
            hint=f"the languages are {', '.join(LANGUAGES)}",
        )
    return tomllib.loads((TEMPLATES / f"words/{language}.toml").read_text("utf-8"))


def say(remark: Remark, language: str = "en") -> str:
    """The sentence of ``remark``; raises ``KeyError`` for a key or value that is missing."""
    return _sentence(remark.key, dict(remark.values), language)


def say_family(family: str, language: str = "en") -> str:
    """The name of a drill family."""
    return _sentence(f"family.{family}", {}, language)


def heading(measures: MeasureRange) -> Remark:
    """``Measures 46–48``: a range as a heading says it."""
    count = 1 if measures.first == measures.last else 2
    return Remark.of("text.heading", count=count, range=measures)


def say_measures(measures: MeasureRange, language: str = "en") -> str:
    """The ``heading`` of a range in a language."""
    return say(heading(measures), language)


def say_variant(family: str, variant: str, language: str = "en") -> str:
    """The name of a family's variant: ``in-fours-2`` is looked up, then ``in-fours`` with 2.

    The numbers at the end of a variant are its values ``n`` (the first) and ``numbers`` (all).
    """
    if variant in words(language)["variant"].get(family, {}):
        return _sentence(f"variant.{family}.{variant}", {}, language)
    match = re.fullmatch(r"(?P<base>.*?)(?P<numbers>(?:-\d+)+)(?P<rest>-.*)?", variant)
    if match is None:
        raise KeyError(f"no words for 'variant.{family}.{variant}' in {language!r}")
    numbers = [int(number) for number in match["numbers"].split("-")[1:]]
    key = f"variant.{family}.{match['base']}{match['rest'] or ''}"
    return _sentence(key, {"n": numbers[0], "numbers": numbers}, language)


def say_drill(family: str, variant: str, language: str = "en") -> str:
    """``Rhythms: long–short``; one of the two where both say the same."""
    of, what = say_family(family, language), say_variant(family, variant, language)
    return of if what.lower() == of.lower() else f"{of}: {what}"


def _sentence(key: str, values: Mapping[str, object], language: str) -> str:
    entry: Any = words(language)
    for part in key.split("."):
        if not isinstance(entry, Mapping) or part not in entry:
            raise KeyError(f"no words for {key!r} in {language!r}")
        entry = entry[part]
    if isinstance(entry, Mapping):
        entry = entry["one" if values["count"] == 1 else "other"]
    return _Speller(language).vformat(entry, (), values)


class _Speller(Formatter):
    def __init__(self, language: str) -> None:
        self.language = language

    def format_field(self, value: Any, format_spec: str) -> str:
        if format_spec == "pitch" and isinstance(value, tuple):
            return listed([_pitch(each, self.language) for each in value], self.language)
        if format_spec in _SPELLINGS:
            return _SPELLINGS[format_spec](value, self.language)
        if format_spec.startswith("."):
            return _number(format(float(value), format_spec), self.language)
        if format_spec:
            entry = words(self.language)[format_spec]
            key = fraction_text(value) if isinstance(value, Fraction) else str(value)
            return str(entry[key])
        return _plain(value, self.language)


def _plain(value: Any, language: str) -> str:
    if isinstance(value, Remark):
        return say(value, language)
    if isinstance(value, Pitch):
        return _note(value, language)
    if isinstance(value, MeasureRange):
        return _measures(value, language)
    if isinstance(value, Fraction):
        return fraction_text(value)
    if isinstance(value, float):
        return _number(f"{value:.1f}".removesuffix(".0"), language)
    if isinstance(value, (list, tuple)):
        return listed([_plain(item, language) for item in value], language)
    return str(value)


def listed(items: Sequence[str], language: str) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    last = str(words(language)["list"]["last"])
    return last.join(filter(None, (", ".join(items[:-1]), *items[-1:])))


def _number(text: str, language: str) -> str:
    return text.replace(".", str(words(language)["number"]["point"]))


def _note(pitch: Pitch, language: str) -> str:
    names = words(language)["note"]
    spelling = pitch.spelling.rstrip("-0123456789")
    if spelling in names:
        return str(names[spelling])
    return str(names[pitch.step]) + str(names[spelling[1:]])


def _pitch(pitch: Pitch, language: str) -> str:
    pattern = str(words(language)["octave"][str(pitch.octave)])
    name = _note(pitch, language)
    return pattern.format(name=name, small=name.lower())


def _measures(value: MeasureRange, language: str) -> str:
    """``46–48 (beat 1)``, ``46 (from beat 2) to 48``: from a measure's first beat is from it."""
    place = {key: str(form) for key, form in words(language)["place"].items()}
    first_beat = value.from_the_measure.first_beat
    if value.first == value.last and None not in (first_beat, value.last_beat):
        if first_beat == value.last_beat:
            return place["beat"].format(name=value.first, beat=first_beat)
        return place["beats"].format(name=value.first, first=first_beat, last=value.last_beat)
    last = value.last
    if value.last_beat is not None:
        last = place["beat"].format(name=value.last, beat=value.last_beat)
    if first_beat is None:
        return last if value.first == last else f"{value.first}–{last}"
    return place["from"].format(name=value.first, beat=first_beat, last=last)


def _date(value: date, language: str) -> str:
    return _dated(value, "long", language)


def _day(value: date, language: str) -> str:
    return _dated(value, "short", language)


def _box(value: date, language: str) -> str:
    """As short as a tempo box is wide."""
    return _dated(value, "box", language)


def _dated(value: date, form: str, language: str) -> str:
    said = words(language)["date"]
    return str(said[form]).format(
        weekday=said["weekday"][str(value.weekday())],
        day=value.day,
        month=said[f"{form}-month"][str(value.month)],
        year=value.year,
    )


def _variant(value: tuple[str, str], language: str) -> str:
    """A family and its variant: the variant's name."""
    family, variant = value
    return say_variant(family, variant, language)


def _cardinal(value: int, language: str) -> str:
    """``four``, and figures where a number has no word in the list."""
    return str(words(language)["cardinal"].get(str(value), value))


def _times(value: int, language: str) -> str:
    """``once``, ``twice``, ``three times``."""
    forms, number = words(language)["times"], _cardinal(value, language)
    form = "figures" if number == str(value) else "word"
    return str(forms.get(str(value), forms[form])).format(number=number)


_SPELLINGS: dict[str, Callable[[Any, str], str]] = {
    "note": _note,
    "pitch": _pitch,
    "measures": _measures,
    "date": _date,
    "day": _day,
    "box": _box,
    "number": _cardinal,
    "times": _times,
    "variant": _variant,
}
