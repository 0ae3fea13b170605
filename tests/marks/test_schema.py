"""The names of the marks file against those who own what they stand for."""

from engrave.drills import FAMILIES
from engrave.drills.patterns import PATTERNS
from engrave.marks import schema


def test_every_family_can_be_asked_for_in_the_booklets_order() -> None:
    known = list(schema.FAMILY_OPTIONS)
    places = [known.index(family.name) for family in FAMILIES]
    assert places == sorted(places)


def test_every_rhythm_of_the_table_can_be_asked_for() -> None:
    assert tuple(PATTERNS) == schema.RHYTHM_VARIANTS


def test_every_family_has_a_ladder_of_its_own() -> None:
    for options in schema.FAMILY_OPTIONS.values():
        assert options.keys() >= {"goal", "start", "step", "reached"}
