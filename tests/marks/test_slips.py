"""One sign taken out of a marks file: what is told is told at its line.

Every quotation mark, bracket and colon of two files in turn; the library alone stumbles lines
below, over what it has swallowed.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest

from engrave.errors import EngraveError
from engrave.marks.events import read_events

ROOT = Path(__file__).resolve().parents[2]
FILES = ("scores/lantern-rondo.yaml", "tests/marks/example.yaml")
KINDS = {"quotation mark": "\"'", "bracket": "{}[]", "colon": ":"}


def without(text: str, signs: str) -> Iterator[tuple[str, int]]:
    """The text without one of the signs, and the line in which that stood; not in comments."""
    for index, sign in enumerate(text):
        line = text.count("\n", 0, index) + 1
        begins = text.rfind("\n", 0, index) + 1
        is_plain = sign == ":" and text[index + 1] not in " \n"
        if sign in signs and not is_plain and "#" not in text[begins:index]:
            yield text[:index] + text[index + 1 :], line


def told(text: str) -> EngraveError | None:
    try:
        for _ in read_events(text, "marks.yaml"):
            pass
    except EngraveError as error:
        return error
    return None


@pytest.mark.parametrize("kind", KINDS)
def test_a_missing_sign_is_told_at_its_line(kind: str) -> None:
    count = 0
    for name in FILES:
        for text, line in without((ROOT / name).read_text("utf-8"), KINDS[kind]):
            error = told(text)
            if error is None:  # still YAML: what it says now is for those who know the keys
                continue
            count += 1
            assert error.source is not None
            assert error.source.line == line, (error.message, text.splitlines()[line - 1])
            assert error.hint
            if kind == "quotation mark":
                assert kind in error.message
    assert count > 20
