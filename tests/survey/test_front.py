"""The strip at the front of a booklet: the booklet's passages by their numbers, over the piece."""

from functools import partial
from pathlib import Path
from xml.etree import ElementTree

import pytest

from engrave.machine.cache import NO_CACHE
from engrave.music.notes import Hand
from engrave.pipeline.checking import Checked, check
from engrave.pipeline.terrain import survey_piece, terrain_of_piece, terrain_strip
from engrave.words import LANGUAGES, say
from tests.pipeline.demo import edit, lay_out

SVG = "{http://www.w3.org/2000/svg}"
LABELS = {"1": "46–48.1", "2": "39–40", "3": "70–71", "4": "91–92.1"}


@pytest.fixture
def marks(tmp_path: Path) -> Path:
    return lay_out(tmp_path)


def strip_of(checked: Checked, language: str) -> ElementTree.Element:
    marks, score = checked.marks, checked.score
    surveyed = partial(terrain_of_piece, marks, score, NO_CACHE)
    made = terrain_strip(marks, score, checked.passages, 168, language, NO_CACHE, surveyed)
    assert say(made.words, language)
    assert made.picture.width_mm == 168
    return ElementTree.fromstring(made.picture.svg)


@pytest.mark.parametrize("language", LANGUAGES)
def test_passages_are_named_as_in_the_booklet(marks: Path, language: str) -> None:
    root = strip_of(check(marks), language)
    names = {text.text for text in root.iter(f"{SVG}text") if text.get("font-weight")}
    assert names == set(LABELS)
    for number, measures in LABELS.items():
        assert f"{number} (" in (root[0].text or "")
        assert measures in (root[0].text or "")


def test_the_goal_and_the_hands_are_those_of_the_marks(marks: Path) -> None:
    before = check(marks)
    edit(marks, "tempo: {step: 2}", "tempo: {beat: quarter, goal: 144, step: 2}")
    edit(marks, "stretch_cm: {left: 19.5, right: 19.5}", "stretch_cm: {left: 17, right: 19.5}")
    after = check(marks)
    slow, quick = (survey_piece(each.marks, each.score, NO_CACHE) for each in (before, after))
    assert slow.pace.changes[0][1] == 96
    assert quick.pace.changes[0][1] == 144
    assert quick.stretch_mm[Hand.LEFT] == 170
    assert quick.level.value > slow.level.value
    assert slow.terrain == terrain_of_piece(before.marks, before.score, NO_CACHE)
    assert quick.terrain == terrain_of_piece(after.marks, after.score, NO_CACHE)
