"""The one table: every load has what it needs to be told, weighed and answered."""

from math import sqrt

import pytest

from engrave.remarks import Remark
from engrave.survey.table import HAND_LOADS, LOADS, PAIR_LOADS, SCALE, square
from engrave.words import LANGUAGES, say


def test_every_load_is_named_once() -> None:
    assert len(LOADS) == len(HAND_LOADS) + len(PAIR_LOADS)


@pytest.mark.parametrize("name", LOADS)
def test_a_load_has_unit_reason_and_answers(name: str) -> None:
    load = LOADS[name]
    assert load.unit
    assert load.reason
    assert load.full > 0
    assert load.weight > 0


@pytest.mark.parametrize("load", [*HAND_LOADS, *PAIR_LOADS], ids=lambda load: load.name)
def test_a_load_says_in_its_docstring_what_it_counts(load: object) -> None:
    told = load.count.__doc__ or ""  # type: ignore[attr-defined]
    sources = ("1954", "1992", "1997", "2012", "common practice", "Common practice", "tapping")
    assert any(source in told for source in sources), told


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("name", LOADS)
def test_a_load_is_said_in_every_language(name: str, language: str) -> None:
    assert say(Remark.of(f"survey.load.{name}", figure=1.25), language)


@pytest.mark.parametrize("name", LOADS)
def test_what_is_full_stands_as_high_as_its_weight(name: str) -> None:
    """Twice what is full is more, but not twice as much: beyond it counts by the logarithm."""
    load = LOADS[name]
    full = square(name, load.full)
    assert sqrt(full / load.weight) == pytest.approx(SCALE)
    assert square(name, load.full / 2) == pytest.approx(full / 4)
    assert full < square(name, 2 * load.full) < 4 * full
