"""What is said beside drills: once for all of a family, and the leaps in figures."""

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from engrave.booklet import DrillPage, PassagePages, page_style
from engrave.booklet.leap_rows import leap_rows
from engrave.booklet.said import Said, all_said_of, said_of, said_of_all
from engrave.booklet.setting import Setting
from engrave.music.drill import Drill, Ladder, LeapFigures
from engrave.music.notes import Hand
from engrave.remarks import Remark
from engrave.words import LANGUAGES, say, words
from tests.booklet.samples import LEAPS, book, drawing, drill, leap, passage_pages

SPEED, ONCE = Remark.of("rhythms.speed"), Remark.of("leaps.once")
SLURS, HAIRPINS = Remark.of("left-out.slurs"), Remark.of("left-out.hairpins")
GRACES = Remark.of("left-out.graces", count=2)
MOVED = Remark.of("ladder.moved", unit=Fraction(3, 4), asked=Fraction(3, 2))


def rhythm(variant: str, marks: Ladder | None = None, **values: Any) -> Drill:
    return drill("passage-1", "rhythms", variant, marks=marks, **values)


LONG_SHORT = rhythm("long-short", remarks=(SPEED, ONCE), left_out=(SLURS, HAIRPINS))
IN_FOURS = rhythm(
    "in-fours-1",
    Ladder(Fraction(3, 4), (60, 66), moved=MOVED),
    remarks=(SPEED,),
    left_out=(SLURS, HAIRPINS, GRACES),
)


def test_what_all_drills_say_is_said_once() -> None:
    said = said_of_all([LONG_SHORT, IN_FOURS])
    assert [say(sentence) for sentence in said.sentences] == [
        "At the last mark the shortest note is as fast as the run at the goal."
    ]
    assert said_of(LONG_SHORT).but(said).sentences == (ONCE,)
    assert [say(sentence) for sentence in said_of(IN_FOURS).but(said).sentences] == [
        "Counted in dotted eighth notes, so that the numbers stay between 40 and 208.",
    ]


def test_a_drill_alone_speaks_for_itself() -> None:
    assert said_of_all([LONG_SHORT]).sentences == ()


def test_what_is_left_out_is_one_sentence_in_german_too() -> None:
    *_, left_out, moved = all_said_of(IN_FOURS).sentences
    assert say(left_out, "de") == ("Ausgelassen: die Bögen, die Gabeln und 2 Vorschläge.")
    assert say(moved, "de").startswith("Gezählt wird die punktierte Achtelnote")


def test_every_ornament_is_named_in_both_numbers() -> None:
    names = words("en")["ornament"]
    for language in LANGUAGES:
        for name in names:
            one, two = (say(Remark.of(f"ornament.{name}", count=n), language) for n in (1, 2))
            assert one.startswith("1 ")
            assert two.startswith("2 ")


def test_what_all_drills_of_a_hand_say_is_said_once_for_the_hand() -> None:
    right = [rhythm(variant, remarks=(SPEED, ONCE)) for variant in ("long-short", "short-long")]
    left = [
        drill("passage-1", "rhythms", variant, (Hand.LEFT,), remarks=(SPEED, *remarks))
        for variant, remarks in (("long-short", (GRACES,)), ("short-long", ()))
    ]
    (family,) = pages_of(*right, *left).families
    assert family.said.remarks == (SPEED,)
    assert [(hand, said.sentences) for hand, said in family.said_by_hand] == [
        ("right", (ONCE,)),
        ("left", ()),
    ]
    assert [family.own(page).sentences for page in family.drills] == [(), (), (GRACES,), ()]


def test_what_several_say_with_other_numbers_is_one_sentence() -> None:
    def cycle(count: int) -> Remark:
        return Remark.of("rhythms.cycle", count=count)

    drills = [
        rhythm("long-short", remarks=(cycle(6),)),
        rhythm("short-long", remarks=(cycle(6),)),
        rhythm("short-short-long"),
        rhythm("in-fours-1", remarks=(cycle(12), GRACES)),
    ]
    (family,) = pages_of(*drills).families
    assert [say(sentence) for sentence in family.said.sentences] == [
        "The long note moves through the group; after 6 notes (1.1 and 1.2) and 12 notes (1.4) "
        "each of its notes has been long and short."
    ]
    assert [family.own(page).remarks for page in family.drills] == [(), (), (), (GRACES,)]
    (family,) = pages_of(*drills[2:]).families
    assert [family.own(page).remarks for page in family.drills] == [(), (cycle(12), GRACES)]


def test_what_some_drills_say_is_said_once_with_their_numbers() -> None:
    drills = [
        rhythm("long-short", remarks=(SPEED, ONCE)),
        rhythm("short-long", remarks=(SPEED, ONCE)),
        rhythm("in-threes", remarks=(SPEED,)),
    ]
    pages = pages_of(*drills)
    (family,) = pages.families
    assert [(said, each.remarks) for said, each in family.said_by_some] == [
        (("1.1", "1.2"), (ONCE,))
    ]
    assert [family.own(page).remarks for page in family.drills] == [(), (), ()]
    html = Setting(book(passages=(pages,)), page_style()).html()
    assert html.count(say(ONCE)) == 1
    assert f"<b>1.1 and 1.2</b> {say(ONCE)}" in html


def test_why_some_drills_count_otherwise_is_said_once_with_their_numbers() -> None:
    ladder = Ladder(Fraction(3, 4), (60, 66), moved=MOVED)
    drills = [
        rhythm("long-short", ladder, remarks=(ONCE,)),
        rhythm("short-long", ladder, remarks=(ONCE,)),
        rhythm("in-threes"),
    ]
    (family,) = pages_of(*drills).families
    assert family.said_by_some == [
        (("1.1", "1.2"), Said((ONCE,), moved=(Remark.of("ladder.moved", unit=Fraction(3, 4)),)))
    ]
    assert [family.own(page) for page in family.drills] == [Said()] * 3


def pages_of(*drills: Drill) -> PassagePages:
    """A passage with these drills, all of the same picture."""
    pages = tuple(DrillPage(each, (drawing(100),)) for each in drills)
    return replace(passage_pages(1), drills=pages)


def test_the_head_of_the_family_says_it_and_the_drills_do_not() -> None:
    for edition in ("student", "masterclass"):
        html = Setting(book(passages=(pages_of(LONG_SHORT, IN_FOURS),)), page_style(edition)).html()
        assert html.count(say(SPEED)) == 1
        assert html.index(say(SPEED)) < html.index("long–short")


def test_what_the_drills_leave_out_is_said_once_before_the_first() -> None:
    """What only some leave out, with their numbers; an edition of few words has none of it."""
    for edition in ("student", "masterclass"):
        html = Setting(book(passages=(pages_of(LONG_SHORT, IN_FOURS),)), page_style(edition)).html()
        said = "<p>In the drills: the slurs and the hairpins; in some also: 2 grace notes.</p>"
        assert html.count(said) == html.count("hairpins") == 1
        assert html.index(said) < html.index("long–short")
    stand = Setting(book(passages=(pages_of(LONG_SHORT, IN_FOURS),)), page_style("stand")).html()
    assert "hairpins" not in stand


def leaping(hand: Hand, step: int, *leaps: LeapFigures) -> Drill:
    made = drill("passage-1", "leaps", f"step-{step}", (hand,))
    return replace(made, leaps=leaps)


def test_a_leap_and_its_way_back_share_a_row_where_they_are_alike() -> None:
    rows = leap_rows(leaping(Hand.LEFT, 1, *LEAPS))
    assert [say(row.way).replace("\N{NO-BREAK SPACE}", " ") for row in rows] == [
        "C 2 to E 3",
        "E 3 to G 2 and back",
        "C 2 to A 3",
        "A 3 to C 2",
    ]
    assert [row.figures.flagged for row in rows] == [False, False, True, False]
    assert {say(row.colours, "de") for row in rows} == {"weiß auf weiß"}


@pytest.mark.parametrize(("keys", "said"), [(14, 0), (10, 1)])
def test_where_the_hand_moves_otherwise_than_its_notes_the_table_says_so(
    keys: int, said: int
) -> None:
    """Two octaves are 14 white keys; the thumb that lay a fifth higher goes ten."""
    pages = pages_of(leaping(Hand.LEFT, 1, leap("Bb1", "Bb3", keys)))
    html = Setting(book(passages=(pages,)), page_style()).html()
    assert html.count("not from note to note") == said


def test_each_hand_has_one_table_from_its_first_step() -> None:
    left = [leaping(Hand.LEFT, step, *LEAPS) for step in (1, 2)]
    right = leaping(Hand.RIGHT, 1, leap("C5", "C7", 14))
    pages = pages_of(*left, right)
    (family,) = pages.families
    assert [(hand, len(rows)) for hand, rows in family.leap_tables] == [("left", 4), ("right", 1)]
    tables = {
        edition: Setting(book(passages=(pages,)), page_style(edition)).html().count('class="leaps"')
        for edition in ("student", "stand", "masterclass")
    }
    assert tables == {"student": 2, "stand": 0, "masterclass": 2}


def test_a_drill_of_both_hands_says_which_hand_leads() -> None:
    """Both may have runs: the same rhythm comes twice, and each time the other hand goes along."""
    both = Hand.RIGHT, Hand.LEFT
    made = [
        rhythm(variant, hands=both, suffix=hand, remarks=(remark,))
        for hand, remark in ((Hand.RIGHT, SPEED), (Hand.LEFT, ONCE))
        for variant in ("long-short", "short-long")
    ]
    pages = passage_pages(1)
    pages = replace(pages, drills=tuple(DrillPage(each, (drawing(100),)) for each in made))
    (family,) = pages.families
    assert [(whose, said.remarks) for whose, said in family.said_by_hand] == [
        ("right-leads", (SPEED,)),
        ("left-leads", (ONCE,)),
    ]
    for language, words_ in (("en", "the left hand leads"), ("de", "die linke führt")):
        html = Setting(book(passages=(pages,)), page_style("student", "a4", language)).html()
        assert html.count(f"{words_}</i></h3>") == 2
