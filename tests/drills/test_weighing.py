"""How families are weighed where nobody asks, with families that only say what they would make.

The numbers are the rules': at most two families, three to six drills, a tenth of the beats, what is
most pressing up to twice as heavy (judgements, no source).
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

import pytest

from engrave.drills import as_written
from engrave.drills.choosing import Chosen, choose, everything
from engrave.drills.family import Family, Made, Options
from engrave.drills.needs import Need, beats, moments, seconds, share
from engrave.drills.sifting import at_most, fewer_than_six
from engrave.music.drill import Drill
from engrave.music.notes import Hand
from engrave.music.sheet import Meter
from engrave.music.tempo import Goal
from engrave.music.values import UnprintableError
from engrave.passage.model import Passage
from engrave.remarks import Remark
from tests.drills.builders import even, passage
from tests.drills.paper import told

PASSAGE = passage(even("C4 D4 E4 F4 G4 A4 B4 C5", "1/2"))
(WRITTEN,) = as_written.FAMILY.unasked(PASSAGE).drills


def drills(name: str, worths: str, hand: Hand | None = None) -> tuple[Drill, ...]:
    """A drill a digit, of that worth, each with notes of its own."""
    other, letter = even("D4 E4 F4 G4 A4 B4 C5 D5", "1/2"), name.upper()
    return tuple(
        replace(
            WRITTEN,
            family=name,
            variant=f"{name}-{number}",
            worth=int(worth),
            suffix=hand,
            sheet=passage(
                [(f"{letter}4", "1"), *other[number:], (f"{letter}{number % 8}", "1")]
            ).sheet,
        )
        for number, worth in enumerate(worths, 1)
    )


@dataclass(frozen=True)
class Answer:
    """A family: its share of the beats, how pressing, the worths of its drills."""

    name: str
    share: str
    urgency: int
    worths: str
    then: tuple[str, ...] = ()
    steps_in: int = 0
    prints: bool = True
    never: Callable[[Drill], Remark | None] = lambda _: None

    @property
    def family(self) -> Family[Any]:
        why = Remark.of(f"why.{self.name}")
        need = Need(Fraction(self.share), self.urgency, (Hand.RIGHT,), why, self.then)
        return Family(
            self.name,
            self.make,
            Options,
            lambda _: need if need.share else None,
            self.never,
            lambda _: self.steps_in,
        )

    def make(self, _: Passage, __: Options) -> Made:
        if not self.prints:
            raise UnprintableError("too short", "short", measure="7")
        return Made(drills(self.name, self.worths))


def chosen(*answers: Answer) -> Chosen:
    return choose(PASSAGE, WRITTEN, [answer.family for answer in answers])


def names(found: Chosen) -> list[str]:
    return [drill.variant for drill in found.drills]


def test_the_two_heaviest_the_more_pressing_first() -> None:
    """1/2; 3/10 and twice as heavy, 6/10; 4/10 and half as heavy again, 6/10."""
    found = chosen(
        Answer("a", "1/2", 0, "00"), Answer("b", "4/10", 3, "00"), Answer("c", "3/10", 6, "00")
    )
    assert names(found) == ["b-1", "b-2", "c-1", "c-2"]
    assert told(found.why) == ["why.c", "why.b"]
    found = chosen(
        Answer("a", "61/100", 0, "00"), Answer("b", "4/10", 3, "00"), Answer("c", "3/10", 6, "00")
    )
    assert told(found.why) == ["why.c", "why.a"]


@pytest.mark.parametrize(("part", "is_chosen"), [("1/10", True), ("1/11", False)])
def test_a_trouble_in_fewer_than_a_tenth_of_the_beats_is_none(part: str, is_chosen: bool) -> None:
    assert bool(names(chosen(Answer("a", part, 6, "000")))) is is_chosen


@pytest.mark.parametrize(
    ("first", "second", "kept"),
    [
        ("000", "000", "a-1 a-2 a-3 b-1 b-2 b-3"),
        ("0000", "0123", "a-1 a-2 a-3 a-4 b-1 b-2"),
        ("01234", "0123", "a-1 a-2 a-3 a-4 b-1 b-2"),
        ("01234", "0", "a-1 a-2 a-3 a-4 a-5 b-1"),
        ("012345", "0", "a-1 a-2 a-3 a-4 a-5 b-1"),
        ("00112233", "", "a-1 a-2 a-3 a-4 a-5 a-6"),
        ("00111", "00", "a-1 a-2 b-1 b-2"),  # what belongs together stays together
        ("1100", "0123", "a-1 a-2 a-3 a-4 b-1 b-2"),
    ],
)
def test_at_most_six_and_four_of_the_first(first: str, second: str, kept: str) -> None:
    found = chosen(Answer("a", "9/10", 0, first), Answer("b", "1/2", 0, second))
    assert names(found) == kept.split()
    count = len(first) + len(second) - len(kept.split())
    assert told(tuple(each.why for each in found.dropped)) == ["never.limit"] * count


def test_where_there_is_no_more_to_teach_one_steps_in() -> None:
    lyrical = Answer("c", "0", 0, "0", steps_in=1)
    few = chosen(Answer("a", "1/2", 0, "00"), lyrical)
    assert names(few) == ["a-1", "a-2", "c-1"]
    assert told(few.why) == ["why.a", "why.no-more-beside how=why.by.c"]
    assert names(chosen(Answer("a", "1/2", 0, "000"), lyrical)) == ["a-1", "a-2", "a-3"]
    assert names(chosen(lyrical)) == ["c-1"]


def test_fewer_than_three_are_explained_also_where_none_can_step_in() -> None:
    silent = Answer("c", "0", 0, "", steps_in=1)
    assert told(chosen(silent).why) == ["why.no-more-at-all"]
    two, three = Answer("a", "1/2", 0, "00"), Answer("a", "1/2", 0, "000")
    assert told(chosen(two, silent).why) == ["why.a", "why.no-more-alone"]
    assert told(chosen(three, silent).why) == ["why.a"]


def test_what_cannot_be_printed_is_told_and_another_family_takes_its_turn() -> None:
    """The second turn is for passages that would have no drill; the third waits behind it."""
    chain = Answer("c", "0", 0, "0", steps_in=1, prints=False)
    apart, short = Answer("d", "0", 0, "00", steps_in=2), Answer("e", "0", 0, "0", steps_in=3)
    found = chosen(short, apart, chain)
    assert names(found) == ["d-1", "d-2"]
    assert told(found.why) == ["why.no-more how=why.by.d"]
    reason = Remark.of("unprintable.short")
    assert found.refused == (
        (
            "c",
            Remark.of(
                "drills.unprintable",
                name="c",
                reason=Remark.of("unprintable.in-measure", reason=reason, measure="7"),
            ),
        ),
    )
    beside = chosen(Answer("a", "1/2", 0, "00"), short, apart, chain)
    assert names(beside) == ["a-1", "a-2"]
    assert told(beside.why) == ["why.a", "why.no-more-alone"]
    assert [name for name, _ in beside.refused] == ["c"]
    assert not chosen(short, apart, replace(chain, prints=True)).refused
    assert names(chosen(short, replace(apart, worths=""))) == ["e-1"]


def test_what_belongs_to_an_answer_comes_with_it() -> None:
    apart = Answer("a", "1/2", 1, "00", then=("c",))
    assert names(chosen(apart, Answer("c", "0", 0, "0"))) == ["a-1", "a-2", "c-1"]
    three = chosen(apart, Answer("b", "3/10", 0, "0"), Answer("c", "0", 0, "0"))
    assert names(three) == ["a-1", "a-2", "c-1"]


def test_what_is_not_worth_making_is_named_with_its_reason() -> None:
    never = Answer("a", "1/2", 0, "000", never=lambda _: Remark.of("never.thin"))
    found = chosen(never, Answer("b", "3/10", 0, "000"), Answer("c", "2/10", 0, "000"))
    assert names(found) == ["b-1", "b-2", "b-3", "c-1", "c-2", "c-3"]
    assert [each.why.key for each in found.dropped] == ["never.thin"] * 3
    all_ = everything(PASSAGE, WRITTEN, [never.family, Answer("b", "0", 0, "000").family])
    assert names(all_) == ["b-1", "b-2", "b-3"]
    assert len(all_.dropped) == 3


def test_only_the_hands_that_need_it() -> None:
    need = Need(Fraction(1), 0, (Hand.LEFT,), Remark.of("why.a"))
    made = (*drills("a", "0", Hand.RIGHT), *drills("b", "00", Hand.LEFT), *drills("c", "0"))
    made = tuple(replace(drill, family="a") for drill in made)
    family: Family[Any] = Family("a", lambda _, __: Made(made), Options, lambda _: need)
    found = choose(PASSAGE, WRITTEN, [family])
    assert [(drill.variant, drill.suffix) for drill in found.drills] == [
        ("b-1", "left"), ("b-2", "left"), ("c-1", None),
    ]  # fmt: skip
    assert [(each.drill.variant, each.why.key) for each in found.dropped] == [
        ("a-1", "never.other-hand")
    ]


def test_groups_of_one_worth_and_hand_go_together() -> None:
    made = (*drills("a", "01", Hand.RIGHT), *drills("b", "01", Hand.LEFT))
    kept = at_most(made, 3)
    assert [drill.variant for drill in kept.kept] == ["a-1", "a-2", "b-1"]
    assert [each.drill.variant for each in kept.dropped] == ["b-2"]


@pytest.mark.parametrize(("count", "is_made"), [(5, False), (6, True)])
def test_six_onsets_are_a_drill(count: int, is_made: bool) -> None:
    why = fewer_than_six(replace(WRITTEN, source=WRITTEN.source[:count]))
    assert (why is None) is is_made
    assert why is None or why == Remark.of("never.short", count=5)


def test_beats_and_shares() -> None:
    """Of a pickup of a beat and two bars of 3/4; the last is cut off after two beats and a half."""
    source = passage(even("C4 D4 E4 F4 G4 A4", "1"), meter=Meter(3, 4), pickup=Fraction(1))
    first, second, third = source.sheet.bars
    short = replace(third, length=Fraction(5, 2))
    source = replace(source, sheet=replace(source.sheet, bars=(first, second, short)))
    last = Fraction(13, 2)
    assert beats(source) == ((0, 1), (1, 2), (2, 3), (3, 4), (4, 5), (5, 6), (6, last))
    assert share(source, [(Fraction(1), Fraction(3))]) == Fraction(2, 7)  # two beats, no more
    assert share(source, moments([Fraction(1), Fraction(3, 2)])) == Fraction(1, 7)
    assert share(source, [(Fraction(1, 2), Fraction(3, 2)), (last, last)]) == Fraction(2, 7)


def test_how_long_a_value_lasts() -> None:
    """An eighth at half = 60, 120 quarters a minute, is a quarter of a second."""
    slow = replace(PASSAGE, goal=Goal(Fraction(2), Fraction(60)))
    assert seconds(slow, Fraction(1, 2)) == 0.25
