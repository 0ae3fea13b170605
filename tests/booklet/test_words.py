"""Both languages say everything, with the same values, and spell notes as their readers do."""

import ast
import re
from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from pathlib import Path
from string import Formatter

import pytest
from fontTools.ttLib import TTFont

import engrave
from engrave.booklet.workshop import font_file
from engrave.drills import FAMILIES, REMEDIES
from engrave.errors import EngraveError
from engrave.music.notes import Pitch
from engrave.music.ranges import parse_range
from engrave.remarks import Remark
from engrave.words import (
    LANGUAGES,
    WordTable,
    listed,
    say,
    say_drill,
    say_family,
    say_variant,
    words,
)

# Tables whose entries depend on the language's own grammar, not on what the booklet says.
SPELLING = {"note"}


def sentences(table: WordTable, prefix: str = "") -> Iterator[tuple[str, str]]:
    for key, entry in table.items():
        if not prefix and key in SPELLING:
            continue
        if isinstance(entry, str):
            yield f"{prefix}{key}", entry
        else:
            yield from sentences(entry, f"{prefix}{key}.")


def placeholders(text: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(text) if name}


ENGLISH = dict(sentences(words("en")))


@pytest.mark.parametrize("language", [name for name in LANGUAGES if name != "en"])
def test_every_language_has_every_sentence(language: str) -> None:
    assert set(dict(sentences(words(language)))) == set(ENGLISH)


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("key", ENGLISH)
def test_every_sentence_names_the_same_values(language: str, key: str) -> None:
    said = dict(sentences(words(language)))[key]
    optional = {"name", "small"} if key.startswith("octave.") else set()
    singular = {"count"} if key.endswith(".one") else set()
    assert placeholders(said) - optional - singular == (
        placeholders(ENGLISH[key]) - optional - singular
    )


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_table_that_a_sentence_looks_into_exists(language: str) -> None:
    spelt = {"note", "pitch", "measures", "date", "day", "box"}
    for key, text in sentences(words(language)):
        for _, _, spec, _ in Formatter().parse(text):
            if spec and not spec.startswith("."):
                assert spec in spelt or spec in words(language), key


# German names by the usual convention: B natural is H, B flat is B (dictionaries of music, s.v.
# "pitch names"; Helmholtz's octave signs, 1863).
@pytest.mark.parametrize(
    ("spelling", "english", "german"),
    [
        ("C4", "C 4", "c¹"),
        ("B3", "B 3", "h"),
        ("Bb3", "B flat 3", "b"),
        ("F#5", "F sharp 5", "fis²"),
        ("Eb2", "E flat 2", "Es"),
        ("Ab1", "A flat 1", "As₁"),
        ("Bbb4", "B double flat 4", "heses¹"),
        ("F##4", "F double sharp 4", "fisis¹"),
        ("A0", "A 0", "A₂"),
    ],
)
def test_pitches(spelling: str, english: str, german: str, sentence: None) -> None:
    remark = Remark.of("test.pitch", at=Pitch.parse(spelling))
    assert (say(remark), say(remark, "de")) == (english, german)


def test_chords_are_spelled_key_by_key(sentence: None) -> None:
    remark = Remark.of("test.pitch", at=tuple(map(Pitch.parse, ("F#2", "F#3", "Bb3"))))
    assert say(remark).replace("\u00a0", " ") == "F sharp 2, F sharp 3 and B flat 3"
    assert say(remark, "de") == "Fis, fis und b"


def test_values(sentence: None) -> None:
    remark = Remark.of(
        "test.all", mm=23.5714, range=parse_range("12-14.2"), beat=Fraction(3, 2), hand="left"
    )
    assert say(remark) == "23.6 mm, 12–14 (beat 2), dotted quarter note, left hand"
    assert say(remark, "de") == "23,6 mm, 12–14 (Zählzeit 2), punktierte Viertelnote, linke Hand"


def test_plurals(sentence: None) -> None:
    assert say(Remark.of("test.many", count=1)) == "one grace note"
    assert say(Remark.of("test.many", count=3)) == "3 grace notes"


def test_braces_in_a_value_are_text(sentence: None) -> None:
    remark = Remark.of(
        "test.all", mm="{a.__class__}", range=parse_range("1"), beat="1", hand="left"
    )
    assert say(remark) == "{a.__class__} mm, 1, quarter note, left hand"


def test_a_missing_sentence_or_value_is_no_silence(sentence: None) -> None:
    with pytest.raises(KeyError):
        say(Remark.of("test.none"))
    with pytest.raises(KeyError):
        say(Remark.of("test.many"))


def test_an_unknown_language_is_the_users_mistake() -> None:
    with pytest.raises(EngraveError, match="xx"):
        say(Remark.of("ladder.moved"), "xx")


def test_variants() -> None:
    assert say_variant("rhythms", "long-short") == "long–short"
    assert say_variant("rhythms", "in-fours-2") == "in fours, the second note long"
    assert say_variant("rhythms", "custom-3-1-2", "de") == "Längen 3, 1 und 2"
    with pytest.raises(KeyError):
        say_variant("rhythms", "sideways")


def test_lists() -> None:
    assert [listed(["a", "b", "c"][:n], "en") for n in range(4)] == [
        "", "a", "a and b", "a, b and c",
    ]  # fmt: skip


def test_dates() -> None:
    day = date(2027, 3, 14)
    assert say(Remark.of("text.date", date=day)) == "14 March 2027"
    assert say(Remark.of("text.date", date=day), "de") == "14. März 2027"
    assert say(Remark.of("text.day", date=day)) == "Sunday 14 March"
    assert say(Remark.of("text.day", date=day), "de") == "Sonntag, 14. März"


@pytest.fixture
def sentence() -> Iterator[None]:
    for language in LANGUAGES:
        table = words(language)
        assert isinstance(table, dict)
        table["test"] = {
            "pitch": "{at:pitch}",
            "all": "{mm} mm, {range:measures}, {beat:beat}, {hand:hand}",
            "many": {"one": "one grace note", "other": "{count} grace notes"},
        }
    yield
    for language in LANGUAGES:
        del words(language)["test"]  # type: ignore[attr-defined]


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("family", [family.name for family in FAMILIES])
def test_every_family_has_its_words(family: str, language: str) -> None:
    """Its name, a cue for the body, its variants; without one of them a booklet breaks."""
    assert say_family(family, language)
    assert words(language)["cue"][family]
    assert words(language)["variant"][family]


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize(
    "family", sorted({each.name for families in REMEDIES for each in families})
)
def test_every_family_that_is_tried_instead_has_its_sentence(family: str, language: str) -> None:
    """The page after a lesson takes it where another family does not help."""
    assert words(language)["news"]["try"][family]


def keys_in(tree: ast.AST) -> Iterator[tuple[int, re.Pattern[str]]]:
    """What the code makes remarks of: the line, and a pattern of the keys."""
    for call in ast.walk(tree):
        if isinstance(call, ast.Call) and ast.unparse(call.func) == "Remark.of" and call.args:
            match call.args[0]:
                case ast.Constant(value=str(key)):
                    yield call.lineno, re.compile(re.escape(key))
                case ast.JoinedStr(values=parts):
                    texts = [
                        re.escape(str(part.value))
                        if isinstance(part, ast.Constant)
                        else "[a-z0-9-]+"
                        for part in parts
                    ]
                    yield call.lineno, re.compile("".join(texts))


def test_every_remark_in_the_code_has_its_words() -> None:
    there = {key.removesuffix(end) for key in ENGLISH for end in ("", ".one", ".other")}
    package = Path(engrave.__file__).parent
    lacking, seen = [], 0
    for path in sorted(package.rglob("*.py")):
        for line, pattern in keys_in(ast.parse(path.read_text("utf-8"))):
            seen += 1
            if not any(pattern.fullmatch(key) for key in there):
                lacking.append(f"{path.relative_to(package)}:{line}: {pattern.pattern}")
    assert not lacking
    assert seen > 60


@pytest.mark.parametrize(
    ("range", "english", "german"),
    [
        ("46-48.1", "Measures 46–48 (beat 1)", "Takte 46–48 (Zählzeit 1)"),
        ("50.2-53", "Measures 50 (from beat 2) to 53", "Takte 50 (ab Zählzeit 2) bis 53"),
        (
            "69.4-72.1",
            "Measures 69 (from beat 4) to 72 (beat 1)",
            "Takte 69 (ab Zählzeit 4) bis 72 (Zählzeit 1)",
        ),
        ("50.1-53", "Measures 50–53", "Takte 50–53"),
        ("50.2-50.3", "Measure 50 (beats 2–3)", "Takt 50 (Zählzeiten 2–3)"),
        ("50.2", "Measure 50 (beat 2)", "Takt 50 (Zählzeit 2)"),
    ],
)
def test_measures_are_said_as_one_speaks(range: str, english: str, german: str) -> None:
    where = parse_range(range)
    remark = Remark.of("text.heading", count=1 if where.first == where.last else 2, range=where)
    assert (say(remark, "en"), say(remark, "de")) == (english, german)


def test_a_drill_is_named_once_where_family_and_variant_say_the_same() -> None:
    assert say_drill("as-written", "whole") == "As written"
    assert say_drill("rhythms", "long-short", "de") == "Rhythmen: lang–kurz"


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize(
    ("letters_mm", "label_mm"), [(12 * 25.4 / 72, 34), (10.32 * 25.4 / 72, 28)]
)
def test_a_family_that_is_not_called_long_has_room_before_its_words(
    language: str, letters_mm: float, label_mm: float
) -> None:
    """A longer name has its column set by what is in it, which takes a page a while (``.head``).

    ``letters_mm`` is the size of its letters, on flat and on folded paper; by the font's own table.
    """
    font = TTFont(font_file("Regular"))
    glyphs, advances = font.getBestCmap(), font["hmtx"]
    ems = letters_mm / font["head"].unitsPerEm
    for family in FAMILIES:
        name = say_family(family.name, language)
        width = sum(advances[glyphs[ord(letter)]][0] for letter in name) * ems
        assert width < label_mm or len(name) > 14, f"{name} is {width:.1f} mm"
