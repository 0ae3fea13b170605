"""No ink on other ink: over the gallery, what was seen to collide, and a slice of real works."""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

import pytest

from engrave.engraver.curves import place_curves
from engrave.engraver.engraving import finished
from engrave.engraver.paths import Box, around
from engrave.engraver.reading import Ink, System
from engrave.engraver.toolkit import SPACE, STAFF
from engrave.music.notes import Hand
from engrave.music.sheet import Direction, Moment, Sheet, Span
from tests.engraver import gallery, touching
from tests.sheets import bar, events, sheet
from tests.works import EVERYTHING, WORKS, Work

Q = Fraction
SLICES = [(WORKS[0], 1), (WORKS[1], 0)]


def printed(made: Sheet) -> tuple[System, Sequence[Ink]]:
    """The one system of a sheet, as verovio draws it, and its ink as it is printed."""
    (done,) = finished(made, touching.STYLE)
    return done.system, done.inks


def drawn(system: System) -> list[Ink]:
    """What verovio draws inside the staves, before anything gives way."""
    return [ink for ink in system.inks if not ink.role]


def boxes(inks: Sequence[Ink], kind: str) -> list[Box]:
    return [around(ink.shape.boxes) for ink in inks if ink.kind == kind]


@pytest.mark.parametrize("made", gallery.ALL)
def test_nothing_touches_in_the_gallery(made: gallery.Maker) -> None:
    assert list(touching.touches(made())) == []


@pytest.mark.parametrize(("work", "index"), SLICES, ids=[work.name for work, _ in SLICES])
def test_nothing_touches_in_real_works(work: Work, index: int) -> None:
    found = list(touching.whole(replace(work, marks=EVERYTHING), (index,)))
    assert found
    assert [(name, each) for name, made in found for each in touching.touches(made)] == []


def kinds(inks: Sequence[Ink]) -> list[tuple[str, str]]:
    return [touch.kinds for touch in touching.pairs(inks)]


def test_voices_that_rest_alike_have_one_rest_in_the_middle_of_their_staff() -> None:
    """Gould, Behind Bars (2011), on rests in double-stemmed writing (from memory). Voices that rest
    for different times keep a rest each."""
    upper = (replace(event, stem="up") for event in events("r:4 C5:4", 1))
    lower = (replace(event, stem="down") for event in events("r:4 E4:4", 2))
    system, inks = printed(sheet(bar((*upper, *lower))))
    assert len(boxes(drawn(system), "rest")) == 2
    (rest,) = boxes(inks, "rest")
    assert abs((rest.top + rest.bottom) / 2 - system.staff_tops[0] - STAFF / 2) < SPACE / 2
    upper = (replace(event, stem="up") for event in events("r:4 C5:4", 1))
    short = (replace(event, stem="down") for event in events("r:8 E4:8 E4:4", 2))
    _, inks = printed(sheet(bar((*upper, *short))))
    assert len(boxes(inks, "rest")) == 2


def test_a_rest_stands_on_the_side_of_its_voice_clear_of_stems() -> None:
    """The upper voice has the higher number: verovio prints its rest through the lower stem."""
    upper = (replace(event, stem="up") for event in events("r:16 E3:8.=1 E3:4=1", 6))
    lower = (replace(event, stem="down") for event in events("G2:2=5", 5))
    made = sheet(bar((*lower, *upper)), staves=(2,))
    system, inks = printed(made)
    assert kinds(drawn(system)) == [("rest", "stem")]
    assert kinds(inks) == []
    (rest,), heads = boxes(inks, "rest"), boxes(inks, "notehead")
    assert rest.top < min(head.top for head in heads)


def test_a_tie_ends_before_the_stem_of_its_note() -> None:
    """From a stem that goes up to one that goes down, under both heads."""
    up = (replace(event, stem="up") for event in events("G2:16=5 B2:16=4 D3:16=2 G3:16~=1", 5))
    down = events("r:4 ~G3:4", 5)[1:]
    made = sheet(bar((*up, *(replace(event, stem="down") for event in down))), staves=(2,))
    system, inks = printed(made)
    assert kinds(drawn(system)) == [("stem", "tie")]
    assert kinds(inks) == []
    (before,), (after,) = boxes(drawn(system), "tie"), boxes(inks, "tie")
    assert after.left == pytest.approx(before.left, abs=0.05 * SPACE)
    assert 0 < before.right - after.right < SPACE


def test_an_accent_is_clear_of_another_voices_notes() -> None:
    upper = (replace(event, stem="up") for event in events("E3,G3:2=2,1!accent", 5))
    lower = (replace(event, stem="down") for event in events("C3:2=5!accent", 6))
    system, inks = printed(sheet(bar((*upper, *lower)), staves=(2,)))
    assert kinds(drawn(system)) == [("artic", "stem")]
    assert kinds(inks) == []
    assert len(boxes(inks, "artic")) == 2


def test_a_slur_is_clear_of_an_accidental() -> None:
    made = sheet(
        bar("A4:16=1 F4:16=2 Ab4:16=1 F5:16=4 r:4"),
        spans=(Span("slur", Moment(0, Q(1, 4)), Moment(0, Q(1, 2)), placement="above"),),
    )
    system, inks = printed(made)
    assert kinds(drawn(system)) == [("accid", "slur")]
    assert kinds(inks) == []


def test_of_two_slurs_over_one_octave_on_one_side_one_is_drawn() -> None:
    ends = Moment(0, Q(0)), Moment(0, Q(1))
    both = (Span("slur", *ends, placement="below"), Span("slur", *ends))
    made = sheet(bar("G3,G4:4=1,5 A3,A4:4=1,5"), spans=both)
    assert len(boxes(printed(made)[1], "slur")) == 1


def test_a_hairpin_begins_where_the_dynamic_ends() -> None:
    made = sheet(
        bar("C5:4=1 r:4 r:4 D5:8=2 E5:8", meter="4/4",
            directions=(Direction(Q(3), 1, "dynamic", "mf", "below"),)),
        spans=(Span("crescendo", Moment(0, Q(25, 8)), Moment(0, Q(29, 8))),),
    )  # fmt: skip
    system, inks = printed(made)
    assert kinds(system.inks) == [("dynam", "hairpin")]
    assert kinds(inks) == []
    (letters,), (wedge,) = boxes(inks, "dynam"), boxes(inks, "hairpin")
    assert letters.right < wedge.left < letters.right + SPACE


@pytest.mark.parametrize("staff", [1, 2])
def test_a_word_between_the_staves_ends_before_the_bar_line(staff: int) -> None:
    side = "below" if staff == 1 else "above"
    words = (Direction(Q(1), staff, "words", "molto cantabile", side, italic=True),)
    first = bar("C5:8=1 D5:8=2 E5:4", "C3:4 C3:4", directions=words)
    system, inks = printed(sheet(first, bar("C5:2", "C3:2"), staves=(1, 2)))
    assert ("barLine", "dir") in kinds(system.inks)
    assert kinds(inks) == []


def test_fingers_of_the_other_hands_staff_stand_between_the_staves() -> None:
    """The right hand plays a chord on the lower staff, under low notes of the upper one: there is
    room for its fingers because the staves are drawn farther apart."""
    taken = tuple(
        replace(event, hand=Hand.RIGHT) for event in events("C4,E4,G4:4=1,2,3 C4,E4,G4:4=1,2,3", 5)
    )
    system, inks = printed(sheet(bar("F3:8 G3:8 F3:8 G3:8", taken), staves=(1, 2)))
    upper, lower = system.staff_tops
    assert lower - upper > 2 * STAFF
    assert all(upper + STAFF < box.top < lower for box in boxes(inks, "finger"))
    assert kinds(inks) == []


def test_a_tuplets_number_and_a_slur_on_its_side() -> None:
    for low, high in (("D4", "F4"), ("C5", "F5")):
        line = f"{low}:8t=1 {high}:8t=2 {low}:8t=3 {high}:8t=4 {low}:8t=3 {high}:8t=2"
        for side in ("above", "below", None):
            over = Span("slur", Moment(0, Q(0)), Moment(0, Q(5, 3)), placement=side)
            assert kinds(printed(sheet(bar(line), spans=(over,)))[1]) == []


def test_a_tuplets_number_stands_beyond_a_slur_that_goes_through_it() -> None:
    """Verovio's slur lies outside the numbers here; in long ones it has gone through them."""
    line = "D5:8t=4 E5:8t=2 F5:8t=4 F5:8t=3 E5:8t=1 D5:8t=3"
    under = Span("slur", Moment(0, Q(0)), Moment(0, Q(5, 3)), placement="below")
    system, _ = printed(sheet(bar(line), spans=(under,)))
    inks = drawn(system)
    (curve,), numbers = boxes(inks, "slur"), boxes(inks, "tupletNum")
    down = numbers[0].bottom - curve.bottom
    crossed = [
        replace(ink, shape=ink.shape.moved(0, down)) if ink.kind == "slur" else ink for ink in inks
    ]
    assert ("slur", "tupletNum") in kinds(crossed)
    placed = list(place_curves(crossed))
    assert ("slur", "tupletNum") not in kinds(placed)
    assert len(placed) == len(inks)


def test_a_pedal_that_is_let_go_and_trodden_at_once_is_let_go_before() -> None:
    treads = (
        Span("pedal", Moment(0, Q(0)), Moment(0, Q(1)), staff=2),
        Span("pedal", Moment(0, Q(1)), Moment(0, Q(2)), staff=2),
    )
    system, inks = printed(
        sheet(bar("C5:4=1 E5:4=3", "C3:4=5 G3:4=1"), staves=(1, 2), spans=treads)
    )
    assert ("pedal", "pedal") in kinds(system.inks)
    assert kinds(inks) == []


def test_a_part_of_a_tuplet_of_one_or_two_notes_has_a_number_and_no_bracket() -> None:
    for line in ("C5:8t=1 r:4 C5:8t=1 D5:8t=2 E5:8", "C5:16(5/4)=1 D5:16(5/4)=2 E5:8=3 F5:8=4"):
        inks = printed(sheet(bar(line, meter="4/4")))[1]
        assert boxes(inks, "tupletNum")
        assert not boxes(inks, "tupletBracket")


def test_a_grace_notes_slur_ends_at_the_trill_that_it_leads_to() -> None:
    grace, trill, end = events("/E5:16 D5:4=2 C5:4=1")
    made = sheet(
        bar((grace, replace(trill, ornaments=("trill-mark",)), end)),
        spans=(Span("slur", Moment(0, Q(0)), Moment(0, Q(0)), from_grace=True),),
    )
    inks = printed(made)[1]
    assert kinds(inks) == []
    (curve,) = (around(ink.shape.boxes) for ink in inks if ink.kind == "slur")
    first, second, _ = boxes(inks, "notehead")
    assert first.left < curve.left < first.right
    assert second.left - SPACE / 2 < curve.right < second.right
    assert abs(curve.top - second.bottom) < SPACE


def test_ten_flags_in_a_bar_keep_clear_of_each_other() -> None:
    words = "C5:32=1 D5:32=2 E5:32=3 F5:32=1 G5:32=2 A5:32=3 B5:32=4 C6:32=5 B5:32=4 A5:32=3"
    flagged = tuple(replace(event, beams=()) for event in events(words))
    inks = printed(sheet(bar(flagged)))[1]
    assert len(boxes(inks, "flag")) == 10
    assert kinds(inks) == []


@pytest.mark.parametrize("end", [Moment(1, Q(2)), Moment(2, Q(0)), Moment(2, Q(1))])
def test_an_octave_line_ends_beyond_its_last_note_and_nowhere_else(end: Moment) -> None:
    """Also where that is the last note of a system: no end of a line stands at the next one."""
    high = "C6:8=1 D6:8=2 E6:8=3 F6:8=4"
    bars = [bar(high, name=str(number), system_break=number == 2) for number in range(4)]
    made = sheet(*bars, spans=(Span("octave-up", Moment(0, Q(1)), end, placement="above"),))
    first, second = finished(made, replace(touching.STYLE, width_mm=80))
    assert boxes(first.inks, "octave")
    assert bool(boxes(second.inks, "octave")) is (end > Moment(2, Q(0)))
