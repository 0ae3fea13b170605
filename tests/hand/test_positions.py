"""Hand positions: the worked example, the fewest there can be, what begins a new one, shifts."""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.fingering import finger
from engrave.fingering.hand import can_hold
from engrave.music.notes import Hand, Pitch
from engrave.music.onset import Onset
from engrave.passage.positions import Position, positions
from tests.hand.lines import fingered, keys_line, line, words

STRETCH_MM = 205.0


def cut(text: str, fingers: str, hand: Hand = Hand.RIGHT) -> tuple[Position, ...]:
    return positions(fingered(line(text, hand), words(fingers)), hand, STRETCH_MM)


def held(found: tuple[Position, ...]) -> list[str]:
    return [
        " ".join(
            f"{key.spelling}:{number}" for key, number in zip(each.keys, each.fingers, strict=True)
        )
        for each in found
    ]


def test_the_worked_example() -> None:
    first, second = cut("C4 E4 G4 C5 E5 G5 C6", "1 2 3 1 2 3 5")
    assert held((first, second)) == ["C4:1 E4:2 G4:3", "C5:1 E5:2 G5:3 C6:5"]
    assert (list(first.onsets), list(second.onsets)) == ([0, 1, 2], [3, 4, 5, 6])
    assert (second.shift_mm, second.shift_white_keys) == (165.0, 7)
    assert first.held
    assert second.held


@pytest.mark.parametrize(
    ("text", "fingers", "hand", "cuts"),
    [
        ("C4 D4 E4 F4 G4", "1 2 3 1 2", Hand.RIGHT, [0, 3]),  # the thumb passes under
        ("E5 D5 C5 B4 A4", "3 2 1 3 2", Hand.RIGHT, [0, 3]),  # the third finger passes over
        ("C4 D4 E4", "2 3 3", Hand.RIGHT, [0, 2]),  # a finger is needed on a second key
        ("C4 D4 C4", "3 4 2", Hand.RIGHT, [0, 2]),  # a key gets another finger
        ("C4 C4 C4", "3 2 1", Hand.RIGHT, [0]),  # … but is not left by being struck again
        ("C4 G4 E5", "1 2 5", Hand.RIGHT, [0, 2]),  # a tenth is too wide
        ("F4 A4 F#4", "1 3 2", Hand.RIGHT, [0, 2]),  # two alterations of one letter
        ("F#4 A4 F4", "2 4 1", Hand.RIGHT, [0, 2]),
        ("C3 G3 E3 G3 C3 G3 E3 G3", "5 1 3 1 5 1 3 1", Hand.LEFT, [0]),  # Alberti bass
        ("C4 D4 E4 F4 G4 F4 E4", "1 2 3 4 5 4 3", Hand.RIGHT, [0]),
        ("C4-D4-G4 C4-D4", "1-1-5 1-1", Hand.RIGHT, [0]),  # a thumb on two keys holds both
        ("C4-D4-G4 C4", "1-1-5 1", Hand.RIGHT, [0, 1]),  # … and has left one that it leaves out
        ("C4 D4 C4-D4", "1 1 1-1", Hand.RIGHT, [0, 1, 2]),  # whichever came first
    ],
)
def test_where_a_position_begins(text: str, fingers: str, hand: Hand, cuts: list[int]) -> None:
    assert [each.first for each in cut(text, fingers, hand)] == cuts


def test_what_the_hand_cannot_take_at_once_stands_alone_and_says_why() -> None:
    found = cut("C4 C4-G4-F5 F4", "1 1-2-5 1")
    assert [each.held for each in found] == [True, False, True]
    assert "mm apart" in found[1].why[0]


@pytest.mark.parametrize(
    ("text", "fingers", "hand", "white_keys", "mm"),
    [
        ("C4 E4 F4 A4", "1 3 1 3", Hand.RIGHT, 3, 70.7),  # thumb from C to F
        ("C4 E4 B3 A3", "1 3 1 2", Hand.RIGHT, -1, -23.6),  # thumb from C to B, then crossed
        ("D4 E4 A4 B4", "2 3 2 3", Hand.RIGHT, 4, 94.3),  # second finger from D to A
        ("C4 A3 F3 D3", "1 3 1 3", Hand.LEFT, -4, -94.3),
    ],
)
def test_shifts(text: str, fingers: str, hand: Hand, white_keys: int, mm: float) -> None:
    second = cut(text, fingers, hand)[1]
    assert second.shift_white_keys == white_keys
    assert second.shift_mm == pytest.approx(mm, abs=0.05)


def test_nothing_played_has_no_positions() -> None:
    assert positions((), Hand.LEFT, STRETCH_MM) == ()


def test_every_tone_needs_its_finger() -> None:
    with pytest.raises(ValueError, match="without a finger"):
        positions(line("C4"), Hand.RIGHT, STRETCH_MM)


melodies = st.lists(st.integers(48, 84), min_size=1, max_size=24)


def suggested(keys: list[int], hand: Hand) -> tuple[Onset, ...]:
    onsets = keys_line(keys, hand)
    return fingered(onsets, finger(onsets, hand, STRETCH_MM))


@settings(deadline=None, max_examples=60)
@given(melodies, st.sampled_from(Hand))
def test_positions_hold_every_onset_once_in_order(keys: list[int], hand: Hand) -> None:
    onsets = suggested(keys, hand)
    found = positions(onsets, hand, STRETCH_MM)
    assert [number for each in found for number in each.onsets] == list(range(len(onsets)))
    for each in found:
        assert each.held
        assert can_hold(each.keys, each.fingers, hand, STRETCH_MM)
        assert {p for number in each.onsets for p in onsets[number].pitches} == set(each.keys)


def holds(onsets: Sequence[Onset], hand: Hand) -> bool:
    """Whether these onsets can be one position, told from the words of the rule alone."""
    taken: dict[Pitch, int] = {}
    before: tuple[Pitch, ...] = ()
    for onset in onsets:
        for tone in onset.tones if onset.pitches != before else ():
            assert tone.finger
            number = tone.finger.number
            if taken.get(tone.pitch, number) != number:
                return False
            if any(other == number for key, other in taken.items() if key != tone.pitch):
                return False
            taken[tone.pitch] = number
        before = onset.pitches
    letters = {(pitch.step, pitch.octave) for pitch in taken}
    return len(letters) == len(taken) and can_hold(
        list(taken), list(taken.values()), hand, STRETCH_MM
    )


@settings(deadline=None, max_examples=60)
@given(melodies, st.sampled_from(Hand))
def test_there_are_no_fewer_positions(keys: list[int], hand: Hand) -> None:
    onsets = suggested(keys, hand)
    fewest = [0]
    for end in range(1, len(onsets) + 1):
        fewest.append(
            1 + min(fewest[start] for start in range(end) if holds(onsets[start:end], hand))
        )
    assert len(positions(onsets, hand, STRETCH_MM)) == fewest[-1]


@pytest.mark.parametrize(
    ("text", "fingers", "hand", "white_keys", "mm"),
    [
        # The thumb's own keys, C4 to C5: an octave of 165 mm.
        ("C4 E4 C5 E5", "1 3 1 3", Hand.RIGHT, 7, 165.0),
        # Without a thumb it is counted back from the lowest finger, a white key each.
        ("E4 G4 C5 E5", "2 4 1 3", Hand.RIGHT, 6, 141.429),  # from D4
        ("E4 G4 C5 E5", "3 5 1 3", Hand.RIGHT, 7, 165.0),  # from C4
        ("C4 E4 C5 E5", "1 3 2 4", Hand.RIGHT, 6, 141.429),  # to B4
        ("C4 E4 C3 E3", "3 1 3 1", Hand.LEFT, -7, -165.0),
        ("C4 E4 C3 E3", "4 2 3 1", Hand.LEFT, -8, -188.571),  # the left thumb lies higher: F4
        ("C4 E4 C3 E3", "3 1 4 2", Hand.LEFT, -6, -141.429),
    ],
)
def test_a_shift_is_that_of_the_thumb(
    text: str, fingers: str, hand: Hand, white_keys: int, mm: float
) -> None:
    """An octave is 165 mm, a white key 165 / 7."""
    _, second = cut(text, fingers, hand)
    assert second.shift_white_keys == white_keys
    assert second.shift_mm == pytest.approx(mm, abs=0.001)


@pytest.mark.parametrize(
    ("places", "first"),
    [
        (("0", "1/4", "1/2", "1", "5/4"), 3),  # E on a beat
        (("1/4", "1/2", "3/4", "5/4", "2"), 4),  # A on a beat
        (("0", "1/4", "1/2", "3/4", "7/8"), 3),  # a sixteenth before a thirty-second
        (("0", "1/2", "1", "3/2", "5/2"), 4),  # as strong: the later
    ],
)
def test_where_two_places_would_do_the_stronger_is_taken(
    places: tuple[str, ...], first: int
) -> None:
    """The fifth finger goes from G to A; E between them belongs to either position."""
    onsets = fingered(line("C4 E4 G4 E4 A4"), words("1 3 5 3 5"))
    placed = tuple(
        replace(onset, metric=Fraction(place)) for onset, place in zip(onsets, places, strict=True)
    )
    assert [each.first for each in positions(placed, Hand.RIGHT, STRETCH_MM)] == [0, first]


def test_so_it_is_after_a_first_key_alone() -> None:
    onsets = fingered(line("C6 C4 E4 G4 E4 A4"), words("5 1 3 5 3 5"))
    places = ("1/4", "1/2", "3/4", "5/4", "2", "9/4")
    placed = tuple(
        replace(onset, metric=Fraction(place)) for onset, place in zip(onsets, places, strict=True)
    )
    assert [each.first for each in positions(placed, Hand.RIGHT, STRETCH_MM)] == [0, 1, 4]
