"""Every load, against figures that stand elsewhere or can be counted by hand."""

from fractions import Fraction

import pytest

from engrave.fingering.keyboard import distance_mm
from engrave.music.notes import Hand
from engrave.music.sheet import Bar
from engrave.remarks import Remark
from engrave.survey import Side
from engrave.survey.cells import Clock, cells_of
from engrave.survey.lines import HandLine, line_of
from engrave.survey.model import Cell, Pace, Terrain
from engrave.survey.moving import MOST_LEAPT
from engrave.survey.terrain import terrain_of
from tests.sheets import bar, sheet


def lines_of(
    *bars: Bar, mark: int = 60, stretch_mm: float = 205
) -> tuple[dict[Hand, HandLine], tuple[Cell, ...]]:
    music = sheet(*bars, staves=(1, 2))
    clock = Clock(Pace(((Fraction(0), Fraction(mark)),), Remark("")))
    lines = {hand: line_of(music, hand, stretch_mm, clock) for hand in Hand}
    return lines, cells_of(music, clock)


def terrain(*bars: Bar, mark: int = 60, stretch_mm: float = 205) -> Terrain:
    return terrain_of(*lines_of(*bars, mark=mark, stretch_mm=stretch_mm))


def right(load: str, *bars: Bar, mark: int = 60, stretch_mm: float = 205) -> tuple[float, ...]:
    return terrain(*bars, mark=mark, stretch_mm=stretch_mm).figures[Side.RIGHT][load]


def left(load: str, *bars: Bar, mark: int = 60) -> tuple[float, ...]:
    return terrain(*bars, mark=mark).figures[Side.LEFT][load]


def together(load: str, *bars: Bar, mark: int = 60) -> tuple[float, ...]:
    return terrain(*bars, mark=mark).figures[Side.TOGETHER][load]


def test_speed_is_notes_a_second() -> None:
    """Sixteenths at quarter = 120 are eight a second; a chord is one stroke."""
    music = bar("C4:16 D4:16 E4:16 F4:16 C4,E4,G4:4", "r:2", meter="2/4")
    assert right("speed", music, mark=120) == (8, 2)


# Fitts 1954 in MacKenzie's form of 1992: log2(n + 1) bits over n white keys, whatever the key's
# size; an octave is 3 bits, a tenth 3.322, two octaves 3.907, two octaves and a second 4. One
# finger leaps: the displacement is the whole way.
@pytest.mark.parametrize(
    ("far", "bits"), [("C4", 3.0), ("E4", 3.322), ("G4", 3.585), ("C5", 3.907), ("D5", 4.0)]
)
def test_leaps_are_bits_over_the_time_available(far: str, bits: float) -> None:
    music = bar("R:2", f"C3:8=5 {far}:8=5 r:4", meter="2/4")
    assert left("leaps", music, mark=60)[0] == pytest.approx(bits / 0.5, abs=0.002)
    assert left("leaps", music, mark=120)[0] == pytest.approx(bits / 0.25, abs=0.004)


def test_a_leap_that_no_arm_can_make_counts_no_more_than_one_that_it_hardly_can() -> None:
    """Two octaves in a sixteenth at quarter = 240 would be 62 bits a second."""
    music = bar("R:2", "C3:16=5 C5:16=5 r:8 r:4", meter="2/4")
    assert left("leaps", music, mark=240)[0] == MOST_LEAPT


@pytest.mark.parametrize(
    ("start", "end", "bits"),
    [
        ("C3:8=5", "G3:8=1", 0),  # the five-finger position
        ("C3:8=5", "E4:8=1", 0),  # the thumb stood at G: a sixth
        ("C3:8=5", "F4:8=1", 2.807),  # a seventh, six white keys
        ("C3:8=5", "C4,E4,G4:8=5,3,1", 3.0),  # the little finger goes an octave
        ("C3,G3:8=5,1", "C4,G4:8=5,1", 3.0),
        ("C3:8=1", "C3,E4:8=5,1", 0),  # the thumb goes on, but the little finger is there
    ],
)
def test_a_leap_is_a_displacement_of_a_seventh_or_more(start: str, end: str, bits: float) -> None:
    """From where the landing's finger stood, or would stand, to where it lands."""
    figures = left("leaps", bar("R:2", f"{start} {end} r:4", meter="2/4"), mark=60)
    assert figures[0] == pytest.approx(bits / 0.5, abs=0.003)


def test_a_leap_to_a_black_key_asks_more_than_one_to_its_white_neighbours() -> None:
    figures = [left("leaps", bar("R:2", f"C3:8=5 {far}:8=5 r:4", meter="2/4"))[0]
               for far in ("G4", "G#4", "A4")]  # fmt: skip
    assert figures[1] > max(figures[0], figures[2])


def test_travel_is_the_way_of_the_hand() -> None:
    """Chords in root position an octave apart: the hand goes 165 mm, octave width, a second."""
    assert distance_mm(60, 72) == pytest.approx(165)
    music = bar("C3,E3,G3:4=1,3,5 C4,E4,G4:4=1,3,5 C5,E5,G5:4=1,3,5", "R:2.", meter="3/4")
    assert right("travel", music, mark=60) == pytest.approx((0, 165, 165))


def test_passes_of_a_scale_are_where_the_handbooks_put_them() -> None:
    """C major, two octaves, right hand 123123412312345: the thumb passes three times."""
    scale = (
        "C4:16 D4:16 E4:16 F4:16 G4:16 A4:16 B4:16 C5:16 D5:16 E5:16 F5:16 G5:16 A5:16 B5:16 C6:8"
    )
    music = bar(scale, "R:1", meter="4/4")
    assert sum(right("passes", music, mark=60)) == 3


@pytest.mark.parametrize("hand", ["right", "left"])
def test_passes_count_for_either_hand_and_way(hand: str) -> None:
    words = {"right": "E4:8=3 F4:8=1 E4:8=3 r:8", "left": "F3:8=3 E3:8=1 F3:8=3 r:8"}[hand]
    music = bar(words, "R:2", meter="2/4") if hand == "right" else bar("R:2", words, meter="2/4")
    counted = right("passes", music) if hand == "right" else left("passes", music)
    assert sum(counted) == 2


def test_changes_are_the_hand_positions_after_the_first() -> None:
    music = bar("C4:8=1 D4:8=2 E4:8=3 F4:8=1 G4:8=2 A4:8=3 r:4", "R:1", meter="4/4")
    assert sum(right("changes", music, mark=60)) == 1


# Boyle, Boyle and Booker 2015: from 19.3 cm a ninth is reached with tension, from 21.6 a tenth.
@pytest.mark.parametrize(
    ("chord", "stretch_mm", "opened"),
    [
        ("C4,D5", 194, (0.9, 1.0)),
        ("C4,D5", 188, (1.0, 1.25)),
        ("C4,E5", 217, (0.9, 1.0)),
        ("C4,E5", 240, (0.6, 0.9)),
        ("C4,G4", 205, (0.0, 0.0)),
    ],
)
def test_stretch_is_full_where_pianists_feel_tension(
    chord: str, stretch_mm: float, opened: tuple[float, float]
) -> None:
    music = bar(f"{chord}:4=1,5", "R:4", meter="1/4")
    figure = right("stretch", music, stretch_mm=stretch_mm)[0]
    assert opened[0] <= figure <= opened[1]


def test_a_held_key_counts_for_the_stretch() -> None:
    held = bar("C4:2=1", "r:2", meter="2/4")
    above = bar("r:4 D5:4=5", "r:2", meter="2/4")
    both = Bar(held.name, held.length, held.meter, held.key, held.events + tuple(
        event for event in above.events if event.tones))  # fmt: skip
    assert right("stretch", both, stretch_mm=194)[1] > 0.9
    assert right("stretch", above, stretch_mm=194)[1] == 0


def test_weak_pairs() -> None:
    """3-4, 4-5 and 5-3 count, 2-3 and a repeated key do not."""
    music = bar("E4:8=3 F4:8=4 G4:8=5 G4:8=5 E4:8=3 D4:8=2 r:4", "R:1", meter="4/4")
    assert sum(right("weak-fingers", music)) == 3


def test_repeats_and_new_chord_keys() -> None:
    music = bar("C4:4 C4:4 C4,E4,G4:4 C4,E4,A4:4", "R:1", meter="4/4")
    assert right("repeats", music) == (0, 1, 1, 1)
    assert right("chords", music) == (0, 0, 2, 1)


def test_strokes_under_held_keys() -> None:
    low, high = "C4:2 r:2", "r:4 E4:8 G4:8 E4:2"
    first = bar(low, "R:1", meter="4/4")
    second = bar(high, "R:1", meter="4/4")
    events = first.events + tuple(event for event in second.events if event.tones)
    both = Bar("1", first.length, first.meter, first.key, events)
    assert right("voices", both) == (0, 2, 0, 0)


def test_accidentals_against_the_key_and_by_it() -> None:
    """In G major F sharp is the key's own, F natural and B flat are not; a double counts twice."""
    music = bar("G4:4 F#4:4 F4:4 Bb4:4", "R:1", meter="4/4", key=1)
    assert right("accidentals", music) == (0, 0.25, 1, 1)
    assert right("accidentals", bar("F##4:4", "R:4", meter="1/4", key=1)) == (2,)


def test_jumps_on_the_staff_count_beyond_an_octave() -> None:
    music = bar("C4:4 C5:4 C4:4 C6:4", "R:1", meter="4/4")
    assert right("staff-jumps", music) == (0, 0, 0, 1)


def test_ornaments_and_graces() -> None:
    music = bar("/D4:8 C4:4 E4:4", "R:2", meter="2/4")
    assert right("ornaments", music) == (1, 0)


@pytest.mark.parametrize(
    ("upper", "lower", "against"),
    [
        ("C4:8t D4:8t E4:8t", "C3:8 D3:8", 3),
        ("C4:16 D4:16 E4:16 F4:16", "C3:8t D3:8t E3:8t", 5),
        ("C4:16 D4:16 E4:16 F4:16", "C3:8 D3:8", 0),
        ("C4:8t D4:8t E4:8t", "C3:4", 0),
        ("C4:8. D4:16", "C3:8 D3:8", 0),
    ],
)
def test_two_rhythms_are_strokes_off_a_common_grid(upper: str, lower: str, against: int) -> None:
    """Three against two share the beat alone: two and one stroke stand apart."""
    assert together("two-rhythms", bar(upper, lower, meter="1/4")) == (against,)


@pytest.mark.parametrize(
    ("upper", "lower", "alone"),
    [
        ("C4:4", "C3:4", 0),
        ("C4:4", "r:4", 0),
        ("C4:8 D4:8", "C3:4", 0.5),
        ("r:8 D4:8", "C3:8 r:8", 1),
        ("r:16 D4:16 r:16 F4:16", "C3:16 r:16 D3:16 r:16", 2),
    ],
)
def test_hands_by_turns_are_independent(upper: str, lower: str, alone: float) -> None:
    assert together("independence", bar(upper, lower, meter="1/4")) == (alone,)
