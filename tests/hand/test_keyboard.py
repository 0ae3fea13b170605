"""Keys, reaches and indices of difficulty against the published figures."""

from itertools import combinations

import pytest

from engrave.fingering.hand import can_hold, obstacles, orders, reach, thumb_takes_both
from engrave.fingering.holding import holds
from engrave.fingering.keyboard import (
    BLACK_MM,
    HIGHEST_KEY,
    LOWEST_KEY,
    WHITE_MM,
    centre_mm,
    distance_mm,
    index_of_difficulty,
    is_black,
    mirrored,
    white_keys_between,
    width_mm,
)
from engrave.fingering.published import limits
from engrave.music.notes import STRETCH_MM, Hand, Pitch

PUBLISHED = {
    (1, 2): (-5, -3, 1, 5, 8, 10),
    (1, 3): (-4, -2, 3, 7, 10, 12),
    (1, 4): (-3, -1, 5, 9, 12, 14),
    (1, 5): (-1, 1, 7, 10, 13, 15),
    (2, 3): (1, 1, 1, 2, 3, 5),
    (2, 4): (1, 1, 3, 4, 5, 7),
    (2, 5): (2, 2, 5, 6, 8, 10),
    (3, 4): (1, 1, 1, 2, 2, 4),
    (3, 5): (1, 1, 3, 4, 5, 7),
    (4, 5): (1, 1, 1, 2, 3, 5),
}
"""Reach of finger pairs in semitones: MinPrac, MinComf, MinRel, MaxRel, MaxComf, MaxPrac (Parncutt,
Sloboda, Clarke, Raekallio and Desain 1997, "An ergonomic model of keyboard fingering for melodic
fragments", Music Perception 14, the table of finger spans; one transcription has 11 for 10 in the
MaxRel of 1-5). Written out here, so that a slip in the program's own table shows."""

KEYS = range(LOWEST_KEY, HIGHEST_KEY + 1)


def test_a_piano_has_88_keys_36_of_them_black() -> None:
    assert (len(KEYS), sum(map(is_black, KEYS))) == (88, 36)


@pytest.mark.parametrize(("end", "mm"), [("C5", 165.0), ("D5", 188.6), ("E5", 212.1)])
def test_octave_ninth_and_tenth(end: str, mm: float) -> None:
    # An octave of 165 mm, white keys of a seventh of it (piano makers' common measure).
    assert distance_mm(Pitch.parse("C4"), Pitch.parse(end)) == pytest.approx(mm, abs=0.05)


@pytest.mark.parametrize(
    ("name", "whites"),
    [("C#4", 0.900), ("D#4", 2.100), ("F#4", 3.857), ("G#4", 5.000), ("A#4", 6.143)],
)
def test_black_keys_lie_as_in_the_equal_back_model(name: str, whites: float) -> None:
    # Equal-back model, in white keys from the left edge of C; the centre of C is at one half.
    distance = distance_mm(Pitch.parse("C4"), Pitch.parse(name))
    assert distance == pytest.approx((whites - 0.5) * WHITE_MM, abs=0.05)


def test_keys_are_measured_from_d() -> None:
    """From D4, about which the keyboard is its own mirror: six white keys up to C, seven down."""
    places = [centre_mm(Pitch.parse(name)) for name in ("D4", "C5", "D3")]
    assert places == pytest.approx([0.0, 6 * 165 / 7, -165.0])


def test_keys_rise_and_octaves_are_alike() -> None:
    centres = [centre_mm(key) for key in KEYS]
    assert centres == sorted(centres)
    assert all(distance_mm(key, key + 12) == 165.0 for key in KEYS if key + 12 in KEYS)


def test_the_keyboard_is_its_own_mirror_about_d() -> None:
    for low, high in combinations(range(50, 75), 2):
        assert distance_mm(low, high) == pytest.approx(distance_mm(mirrored(low), mirrored(high)))
    assert all(is_black(key) == is_black(mirrored(key)) for key in KEYS)


def test_distance_in_white_keys_goes_by_letters() -> None:
    spans = {("C4", "C5"): 7, ("C4", "F#4"): 3, ("C4", "Gb4"): 4, ("B3", "C4"): 1, ("E5", "C3"): 16}
    for (low, high), count in spans.items():
        assert white_keys_between(Pitch.parse(low), Pitch.parse(high)) == count
    assert white_keys_between(60, 72) == 7
    # Bare keys count a black one as the white one to its left: C C D D E F F G G A A B.
    assert [white_keys_between(60, key) for key in range(60, 72)] == [
        *(0, 0, 1, 1, 2, 3, 3, 4, 4, 5, 5, 6)
    ]


@pytest.mark.parametrize(
    ("end", "bits"),
    [("F4", 2.000), ("C5", 3.000), ("E5", 3.322), ("C6", 3.907), ("D6", 4.000)],
)
def test_index_of_difficulty_between_white_keys(end: str, bits: float) -> None:
    # Fitts 1954, Shannon form (MacKenzie 1992): n white keys are log2(n + 1), whatever their size.
    landing = Pitch.parse(end)
    distance = distance_mm(Pitch.parse("C4"), landing)
    assert index_of_difficulty(distance, width_mm(landing)) == pytest.approx(bits, abs=0.0005)


def test_a_black_key_is_ten_millimetres_to_land_on() -> None:
    # An octave between black keys, landing width 10 mm (heads are 9.5 to 11 mm; from memory):
    # log2(165 / 10 + 1) = log2(17.5).
    assert BLACK_MM == 10.0
    distance = distance_mm(Pitch.parse("F#3"), Pitch.parse("F#4"))
    assert index_of_difficulty(distance, width_mm(66)) == pytest.approx(4.129, abs=0.0005)


def test_reaches_are_the_published_ones_at_the_tables_own_stretch() -> None:
    # Parncutt, Sloboda, Clarke, Raekallio and Desain 1997; a semitone is 165/12 mm.
    for (low, high), semitones in PUBLISHED.items():
        limits = reach(low, high, 210.0)
        got = limits.min_prac, limits.min_comf, limits.max_rel, limits.max_comf, limits.max_prac
        used = (*semitones[:2], *semitones[3:])  # of a hand at rest fingers lie on white keys
        assert got == pytest.approx([semitone * 165 / 12 for semitone in used])


def test_the_rules_of_1997_take_all_six_spans_of_their_table() -> None:
    for (low, high), semitones in PUBLISHED.items():
        assert limits(low, high) == semitones


def test_a_wider_hand_reaches_further_and_closes_as_far() -> None:
    for pair in PUBLISHED:
        small, big = reach(*pair, 180.0), reach(*pair, 230.0)
        assert small.max_rel < big.max_rel
        assert small.max_prac < big.max_prac
        assert big.min_prac <= small.min_prac


def test_a_big_hand_passes_further_and_is_cramped_as_soon_as_a_small_one() -> None:
    """1-5 pass by a semitone (MinPrac -1), in proportion; 2-3 are never closer than one (1)."""
    assert reach(1, 5, 231.0).min_prac == pytest.approx(-13.75 * 1.1)
    assert reach(1, 2, 231.0).min_comf == pytest.approx(-3 * 13.75 * 1.1)
    assert reach(2, 3, 231.0).min_prac == reach(2, 3, 168.0).min_prac == pytest.approx(13.75)
    assert reach(2, 5, 231.0).min_comf == pytest.approx(2 * 13.75)


@pytest.mark.parametrize(
    ("stretch_mm", "ninth", "tenth"),
    [(191.5, False, False), (193.0, True, False), (215.0, True, False), (216.0, True, True)],
)
def test_what_a_hand_spans(stretch_mm: float, ninth: bool, tenth: bool) -> None:
    # Boyle, Boyle and Booker 2015: a ninth from 19.3 cm, a tenth from 21.6 cm, both with tension.
    c, d, e = (Pitch.parse(name) for name in ("C4", "D5", "E5"))
    assert can_hold((c, d), (1, 5), Hand.RIGHT, stretch_mm) is ninth
    assert can_hold((c, e), (1, 5), Hand.RIGHT, stretch_mm) is tenth


@pytest.mark.parametrize(
    ("keys", "fingers", "hand", "reason"),
    [
        ("C4 E4 G4", (1, 3, 5), Hand.RIGHT, ""),
        ("C4 E4 G4", (5, 3, 1), Hand.LEFT, ""),
        ("C4 E4 G4", (5, 3, 1), Hand.RIGHT, "crossed"),
        ("C4 E4", (2, 2), Hand.RIGHT, "two keys"),
        ("C4 D4", (1, 1), Hand.RIGHT, ""),
        ("C4 D4", (2, 2), Hand.RIGHT, "two keys"),
        ("C4 E4", (1, 1), Hand.RIGHT, "two keys"),
        ("C4 C#4", (1, 1), Hand.RIGHT, "two keys"),
        ("C4 A4", (3, 4), Hand.RIGHT, "mm apart"),
        ("C4 E5", (1, 5), Hand.RIGHT, "mm apart"),
    ],
)
def test_obstacles(keys: str, fingers: tuple[int, ...], hand: Hand, reason: str) -> None:
    pitches = [Pitch.parse(name) for name in keys.split()]
    found = obstacles(pitches, fingers, hand, 205.0)
    assert can_hold(pitches, fingers, hand, 205.0) is (reason == "")
    assert reason in " ".join(found)


@pytest.mark.parametrize("chord", ["C#5 D#5 F#5 C#6", "B4 C#5 E5 B5", "E4 F#4 B4 E5"])
def test_chords_of_an_octave_with_two_notes_inside_lie_in_a_usual_hand(chord: str) -> None:
    """Common practice, no source: with 1 2 3 5 or 1 2 4 5, from an octave upwards."""
    keys = tuple(Pitch.parse(name).midi for name in chord.split())
    assert holds(keys, Hand.RIGHT, STRETCH_MM)
    fingers = ((1, 2, 3, 5), (1, 2, 4, 5))
    assert any(can_hold(keys, each, Hand.RIGHT, STRETCH_MM) for each in fingers)


@pytest.mark.parametrize(
    ("keys", "fingers", "why"),
    [
        # Two voices on one key: one finger.
        ((60, 60), (1, 1), ()),
        ((60, 60), (1, 2), ("fingers 1 and 2 on one key",)),
        # One finger on two keys: only the thumb, on neighbouring white ones.
        ((60, 62), (1, 1), ()),
        ((60, 64), (1, 1), ("finger 1 on two keys",)),
        ((60, 61), (1, 1), ("finger 1 on two keys",)),
        ((60, 62), (2, 2), ("finger 2 on two keys",)),
        ((60, 64), (3, 1), ("fingers 1 and 3 crossed",)),
        # 2 and 3 of a hand of 20.5 cm reach 67 mm: four semitones of white keys 47, seven 94.
        ((60, 64), (2, 3), ()),
        ((60, 67), (2, 3), ("fingers 2 and 3 94 mm apart, they reach 67 mm",)),
        ((60, 67), (2, None), ()),
    ],
)
def test_what_stands_in_a_hands_way(
    keys: tuple[int, ...], fingers: tuple[int | None, ...], why: tuple[str, ...]
) -> None:
    assert obstacles(keys, fingers, Hand.RIGHT, 205.0) == why
    assert can_hold(keys, fingers, Hand.RIGHT, 205.0) == (not why)
    mirror = [124 - key for key in keys]
    assert obstacles(mirror, fingers, Hand.LEFT, 205.0) == why


@pytest.mark.parametrize(
    ("keys", "thumbs"),
    [
        ((60, 62), []),  # of two keys it takes both only where it is asked to
        ((60, 62, 67), [(1, 1, 2), (1, 1, 3), (1, 1, 4), (1, 1, 5)]),
        ((60, 63, 65), []),
        ((60, 62, 64, 65, 67, 69), [(1, 1, 2, 3, 4, 5)]),  # never three by the thumb
        ((60, 62, 64, 65, 67, 69, 71), []),
    ],
)
def test_the_orders_in_which_the_thumb_takes_the_two_lowest_keys(
    keys: tuple[int, ...], thumbs: list[tuple[int, ...]]
) -> None:
    found = list(orders(keys))
    assert [order for order in found if order[1] == 1] == thumbs
    others = [order for order in found if order[1] != 1]
    assert others == list(combinations(range(1, 6), len(keys)))


def test_the_thumb_takes_two_white_keys_side_by_side() -> None:
    """Common practice, no source."""
    pairs = {
        (low, high) for low, high in combinations(range(60, 73), 2) if thumb_takes_both(low, high)
    }
    assert pairs == {(60, 62), (62, 64), (64, 65), (65, 67), (67, 69), (69, 71), (71, 72)}
    assert not thumb_takes_both(60, 60)


@pytest.mark.parametrize(
    ("keys", "held"),
    [
        ((60,), True),
        ((60, 76), False),  # a tenth: 212 mm, thumb and little finger reach 201
        ((60, 74), True),
        ((60, 62, 64, 65, 67, 69), True),  # six, the thumb on two
        ((60, 61, 64, 65, 67, 69), False),
        ((60, 62, 64, 65, 67, 69, 71), False),
    ],
)
def test_which_keys_a_hand_holds_with_some_fingers(keys: tuple[int, ...], held: bool) -> None:
    assert holds(keys, Hand.RIGHT, 205.0) == held
    assert holds(tuple(124 - key for key in reversed(keys)), Hand.LEFT, 205.0) == held
