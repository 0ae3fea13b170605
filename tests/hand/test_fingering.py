"""What must hold of every fingering: playable, the same in every octave and in the mirror."""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, combinations_with_replacement, pairwise
from unittest.mock import patch

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from engrave.errors import EngraveError
from engrave.fingering import FingeringError, explain, finger
from engrave.fingering.costs import FINGERING, RULES
from engrave.fingering.hand import can_hold, hand_span_mm, obstacles
from engrave.fingering.keyboard import mirrored, signed_mm
from engrave.fingering.search import cheapest
from engrave.fingering.solution import solve
from engrave.music.notes import Finger, FingerOrigin, Hand, Pitch
from engrave.music.onset import Onset
from tests.hand.lines import fingered, keys_line, line, numbers, words

chords = st.one_of(
    st.integers(48, 84).map(lambda key: (key,)),
    st.lists(st.integers(0, 14), min_size=1, max_size=4, unique=True).flatmap(
        lambda steps: st.integers(50, 70).map(lambda low: tuple(sorted(low + s for s in steps)))
    ),
)
lines = st.lists(chords, min_size=1, max_size=14)
stretches = st.floats(175, 245)
tempos = st.sampled_from([40, 60, 96, 132, 176])
hands = st.sampled_from(Hand)
checked = settings(deadline=None, max_examples=80)


def struck_together(fingers: Sequence[int], onset: Onset, hand: Hand) -> list[tuple[int, int]]:
    """(key, finger) in the order of a right hand's keys."""
    keys = [pitch.midi if hand is Hand.RIGHT else mirrored(pitch) for pitch in onset.pitches]
    return sorted(zip(keys, fingers, strict=True))


@checked
@given(lines, hands, stretches, tempos)
def test_a_chord_is_never_crossed_nor_one_finger_on_two_keys_nor_beyond_the_hand(
    keys: list[tuple[int, ...]], hand: Hand, stretch_mm: float, tempo: int
) -> None:
    onsets = keys_line(keys, hand)
    for onset, fingers in zip(onsets, finger(onsets, hand, stretch_mm, tempo), strict=True):
        taken = struck_together(fingers, onset, hand)
        for (low, first), (high, second) in combinations(taken, 2):
            assert first < second or (first == second == 1 and high - low <= 2)
        span = signed_mm(taken[0][0], taken[-1][0])
        possible = span <= hand_span_mm(stretch_mm) and any(
            can_hold(onset.pitches, trial[:: 1 if hand is Hand.RIGHT else -1], hand, stretch_mm)
            for trial in combinations(range(1, 6), len(taken))
        )
        if possible:
            assert can_hold(onset.pitches, fingers, hand, stretch_mm)


@checked
@given(lines, hands, st.sampled_from([-12, 12, 24]))
def test_an_octave_changes_nothing(keys: list[tuple[int, ...]], hand: Hand, octaves: int) -> None:
    moved = [tuple(key + octaves for key in chord) for chord in keys]
    assert finger(keys_line(keys, hand), hand) == finger(keys_line(moved, hand), hand)


@checked
@given(lines, stretches, tempos)
def test_the_mirror_about_d_swaps_the_hands(
    keys: list[tuple[int, ...]], stretch_mm: float, tempo: int
) -> None:
    right = finger(keys_line(keys), Hand.RIGHT, stretch_mm, tempo)
    image = [tuple(sorted(map(mirrored, chord))) for chord in keys]
    left = finger(keys_line(image, Hand.LEFT), Hand.LEFT, stretch_mm, tempo)
    assert [chord[::-1] for chord in left] == list(right)


@checked
@given(lines, hands, stretches, st.floats(0, 40))
@example([(48,)] * 8 + [(67,), (80,)], Hand.RIGHT, 175.0, 5.0)
def test_a_wider_hand_never_costs_more(
    keys: list[tuple[int, ...]], hand: Hand, stretch_mm: float, wider: float
) -> None:
    """But for the rules that bind: what lies within a wider hand, they hold for."""
    onsets = keys_line(keys, hand)
    free = dict.fromkeys(("one-finger", "long-reach", "wide-pass", "crossed", "bass"), 0.0)
    with patch.dict(FINGERING, free):
        narrow, wide = (
            cheapest(solve(onsets, hand, stretch, 60).net)[1]
            for stretch in (stretch_mm, stretch_mm + wider)
        )
    assert wide <= narrow + 1e-9


def possible(onset: Onset, fixed: Sequence[int | None], hand: Hand) -> bool:
    """Whether fixed fingers leave a way that crosses nothing, however wide the hand."""
    return any(
        all(wanted in (None, number) for wanted, number in zip(fixed, trial, strict=True))
        and can_hold(onset.pitches, trial, hand, 1000.0)
        for rising in combinations_with_replacement(range(1, 6), len(fixed))
        for trial in (rising, rising[::-1])
    )


@checked
@given(lines, hands, st.data())
def test_fixed_fingers_are_kept(
    keys: list[tuple[int, ...]], hand: Hand, data: st.DataObject
) -> None:
    onsets = keys_line(keys, hand)
    fixed = [
        tuple(data.draw(st.one_of(st.none(), st.integers(1, 5))) for _ in onset.tones)
        for onset in onsets
    ]
    wrong = [
        number for number, onset in enumerate(onsets) if not possible(onset, fixed[number], hand)
    ]
    if wrong:
        with pytest.raises(FingeringError) as caught:
            finger(fingered(onsets, fixed), hand)
        assert caught.value.onset == wrong[0]
        return
    found = finger(fingered(onsets, fixed), hand)
    for wanted, chosen in zip(fixed, found, strict=True):
        assert all(a in (None, b) for a, b in zip(wanted, chosen, strict=True))


def test_a_thumb_asked_for_on_two_white_keys_side_by_side_is_kept() -> None:
    assert finger(fingered(line("C4-D4"), words("1-1")), Hand.RIGHT) == ((1, 1),)
    with pytest.raises(FingeringError):
        finger(fingered(line("C4-C#4"), words("1-1")), Hand.RIGHT)


def test_impossible_fixed_fingers_name_their_onset() -> None:
    onsets = fingered(line("C4 D4 C4-E4-G4"), words("1 2 5-3-1"))
    with pytest.raises(FingeringError) as caught:
        finger(onsets, Hand.RIGHT)
    assert caught.value.onset == 2
    assert isinstance(caught.value, EngraveError)
    for wrong in ("0", "6"):
        with pytest.raises(FingeringError, match="not a finger") as caught:
            finger(fingered(line("C4 D4"), words(f"1 {wrong}")), Hand.RIGHT)
        assert caught.value.onset == 1


def test_a_chord_that_the_hand_cannot_take_is_fingered_for_rolling() -> None:
    (fingers,) = finger(line("C4-G4-F5"), Hand.RIGHT)
    assert list(fingers) == sorted(fingers)
    assert obstacles(line("C4-G4-F5")[0].pitches, fingers, Hand.RIGHT, 205.0)


def test_nothing_is_fingered_by_nothing() -> None:
    assert finger((), Hand.RIGHT) == ()
    assert explain((), Hand.LEFT) == ()


# Triads under the hand (common practice): root position, first and second inversion.
@pytest.mark.parametrize(
    ("chord", "right", "left"),
    [
        ("C4-E4-G4", (1, 3, 5), (5, 3, 1)),
        ("E4-G4-C5", (1, 2, 5), (5, 3, 1)),
        ("G4-C5-E5", (1, 3, 5), (5, 2, 1)),
        ("C4-C5", (1, 5), (5, 1)),
    ],
)
def test_chords(chord: str, right: tuple[int, ...], left: tuple[int, ...]) -> None:
    for hand, wanted in ((Hand.RIGHT, right), (Hand.LEFT, left)):
        assert finger(line(f"{chord} {chord}", hand), hand) == (wanted, wanted)


# Five notes in place, up and down (common practice): a finger a key.
@pytest.mark.parametrize("text", ["C4 D4 E4 F4 G4 F4 E4 D4 C4", "D4 E4 F#4 G4 A4 G4 F#4 E4 D4"])
def test_five_keys_take_five_fingers(text: str) -> None:
    assert numbers(line(text), Hand.RIGHT) == "123454321"
    assert numbers(line(text, Hand.LEFT), Hand.LEFT) == "543212345"


def test_a_quick_repetition_changes_its_finger_and_a_slow_one_need_not() -> None:
    def changes(tempo: int) -> int:
        fingers = numbers(line("C4 D4 E4 E4 E4 E4 D4 C4"), Hand.RIGHT, quarters_per_minute=tempo)
        return sum(a != b for a, b in pairwise(fingers[2:6]))

    assert changes(120) >= 2
    assert changes(12) < changes(120)


# A turning figure that climbs step by step, as in five-finger exercises (common practice).
@pytest.mark.parametrize(("hand", "fingers"), [(Hand.RIGHT, "12345432"), (Hand.LEFT, "54321234")])
def test_a_sequence_is_fingered_alike(hand: Hand, fingers: str) -> None:
    scale = [f"{letter}{octave}" for octave in (3, 4) for letter in "CDEFGAB"]
    figures = [[scale[start + step] for step in (0, 2, 3, 4, 5, 4, 3, 2)] for start in range(5)]
    text = " ".join(name for figure in figures for name in figure)
    assert numbers(line(text, hand), hand) == fingers * 5


def test_the_hand_is_set_anew_after_a_rest() -> None:
    # A stretch costs less after a rest: the hand has come to its key (costs alone, no likings).
    (_, joined) = explain(fingered(line("C4 F5"), words("1 5")), Hand.RIGHT)
    (_, apart) = explain(fingered(line("C4 . . . F5"), words("1 5")), Hand.RIGHT)
    assert dict(apart.costs)["relaxed-span"] < dict(joined.costs)["relaxed-span"]


def test_a_held_key_keeps_its_finger() -> None:
    # C held below a moving voice: the others go round it.
    c, *above = line("C4 E4 F4 G4 F4 E4")
    held = replace(c, tones=(replace(c.tones[0], length=Fraction(3, 2)),))
    fingers = finger((held, *above), Hand.RIGHT)
    assert [number for (number,) in fingers] == [1, 3, 4, 5, 4, 3]


def test_a_chord_with_one_voice_held() -> None:
    c, d, e = line("C4-E4 D4 B3", Hand.RIGHT)
    low, high = c.tones
    held = replace(c, tones=(low, replace(high, length=Fraction(3, 4))))
    (first, second, third) = finger((held, d, e), Hand.RIGHT)
    assert first[1] > second[0] > third[0] or second[0] == third[0] == first[0]
    assert second[0] < first[1]


def test_explanations_add_up_and_name_rules_of_the_table() -> None:
    onsets = line("C4 D4 E4 F4 G4 A4 B4 C5 C4-E4-G4-C5")
    solution = solve(onsets, Hand.RIGHT, 205.0, 60)
    found = explain(onsets, Hand.RIGHT)
    assert sum(each.cost for each in found) == pytest.approx(solution.cost)
    assert {rule for each in found for rule, _ in each.costs} <= set(RULES)
    assert [each.fingers for each in found] == list(finger(onsets, Hand.RIGHT))
    for each in found:
        for key in each.shares:
            assert sum(share for _, share in key) == pytest.approx(1.0)
    assert found[3].fingers == (1,)
    assert "pass-level" in dict(found[3].costs)


def test_what_costs_most_is_told_first_and_what_costs_nothing_not_at_all() -> None:
    """A scale of C, in which the thumb passes under 3: by itself that costs nothing."""
    for each in explain(line("C4 D4 E4 F4 G4 A4 B4 C5"), Hand.RIGHT):
        amounts = [amount for _, amount in each.costs]
        assert amounts == sorted(amounts, reverse=True)
        assert all(amounts)


def test_a_left_hands_chord_is_explained_from_its_lowest_key_up() -> None:
    """Common practice, no source: a triad under the left hand is 5 3 1, and hardly otherwise."""
    (told,) = explain(line("C3-E3-G3", Hand.LEFT), Hand.LEFT)
    assert told.fingers == (5, 3, 1)
    assert tuple(shares[0][0] for shares in told.shares) == (5, 3, 1)
    for shares in told.shares:
        assert [share for _, share in shares] == sorted((s for _, s in shares), reverse=True)


@pytest.mark.parametrize("asked", range(1, 6))
@pytest.mark.parametrize("place", [4, 12])
def test_a_finger_that_is_given_once_in_a_figure_counts_wherever_it_comes_again(
    asked: int, place: int
) -> None:
    """Thirds from C, twice: asked for once on E or each time, the whole figure lies the same."""

    def found(*places: int) -> str:
        given = [(asked if number in places else None,) for number in range(16)]
        onsets = line("C4 E4 D4 F4 E4 C4 D4 B3 C4 E4 D4 F4 E4 C4 D4 B3")
        return numbers(fingered(onsets, given), Hand.RIGHT)

    assert found(place) == found(4, 12)
    assert found(place)[4] == found(place)[12] == str(asked)


@pytest.mark.parametrize("asked", [2, 8])
def test_a_stretch_that_is_asked_for_once_is_not_asked_for_again(asked: int) -> None:
    """2 and 4 reach seven semitones, 94 mm at 20.5 cm (Parncutt 1997): not a fifth from B to F#."""
    text = "B4-F#5 E5-G5 B4-F#5 G4-E5 B3 G3 B4-F#5 E5-G5 B4-F#5 G4-E5 B3 G3"
    given: list[tuple[int | None, ...]] = [(None,) * len(each.tones) for each in line(text)]
    given[asked] = (2, 4)
    found = finger(fingered(line(text), given), Hand.RIGHT)
    assert found[asked] == (2, 4)
    assert {found[number] for number in (0, 2, 6, 8) if number != asked} == {(1, 4)}


def test_a_thumb_on_two_keys_is_asked_for_in_the_whole_figure() -> None:
    """Though a rule is broken elsewhere: the fifth finger is asked to leap an octave."""
    text = "C4 D4 C4-D4 E4 F4 C4 D4 C4-D4 E4 F4 C4 C5 C6"
    given: list[tuple[int | None, ...]] = [(None,) * len(each.tones) for each in line(text)]
    given[2], given[11], given[12] = (1, 1), (5,), (5,)
    found = finger(fingered(line(text), given), Hand.RIGHT)
    assert (found[2], found[7]) == ((1, 1), (1, 1))


def test_a_teachers_fingering_can_be_asked_what_it_costs() -> None:
    onsets = line("C4 D4 E4 F4 G4")
    easy, hard = (
        sum(each.cost for each in explain(fingered(onsets, words(text)), Hand.RIGHT))
        for text in ("1 2 3 4 5", "5 1 2 5 1")
    )
    assert easy < hard


def test_every_rule_says_where_it_comes_from() -> None:
    assert all(rule.source and rule.unit for rule in RULES.values())


def test_two_voices_on_one_key_share_a_finger() -> None:
    (onset,) = line("C4-E4")
    doubled = replace(
        onset, tones=(onset.tones[0], replace(onset.tones[0], voice=2), onset.tones[1])
    )
    ((first, second, third),) = finger((doubled,), Hand.RIGHT)
    assert first == second < third


def test_reasons_a_hand_cannot() -> None:
    pitches = [Pitch.parse(name) for name in ("C4", "E4", "G4")]
    assert obstacles(pitches, (1, 3, 5), Hand.RIGHT, 205.0) == ()
    assert "crossed" in obstacles(pitches, (5, 3, 1), Hand.RIGHT, 205.0)[0]
    assert obstacles(pitches, (1, None, 5), Hand.RIGHT, 205.0) == ()


def test_the_hand_goes_on_from_the_finger_that_took_the_key_over() -> None:
    """Left on G by 5 after a change from 3, it takes F with 4; without the change with 2."""
    onsets = line("E4 F4 G4 F4 E4", length="1/2")

    def after(then: int | None) -> int:
        (tone,) = onsets[2].tones
        given = replace(tone, finger=Finger(3, FingerOrigin.MARKS, then))
        changed = (*onsets[:2], replace(onsets[2], tones=(given,)), *onsets[3:])
        return finger(changed, Hand.RIGHT)[3][0]

    assert (after(None), after(5)) == (2, 4)


def test_what_is_told_adds_up_after_a_silent_change_of_finger() -> None:
    """G is left by 5: from there to F, and over F to E."""
    onsets = line("E4 F4 G4 F4 E4", length="1/2")
    (tone,) = onsets[2].tones
    given = replace(tone, finger=Finger(3, FingerOrigin.MARKS, 5))
    changed = (*onsets[:2], replace(onsets[2], tones=(given,)), *onsets[3:])
    told = sum(each.cost for each in explain(changed, Hand.RIGHT))
    assert told == pytest.approx(solve(changed, Hand.RIGHT, 205.0, 60).cost)


def test_a_held_key_may_change_its_finger_silently() -> None:
    """G is struck by 4 and held by 5 while the line below it goes on."""
    held, *rest = line("G4 E4 D4 C4", length="1/2")
    (tone,) = held.tones
    given = replace(tone, length=Fraction(2), finger=Finger(4, FingerOrigin.MARKS, 5))
    line_ = (replace(held, tones=(given,)), *rest)
    told = explain(line_, Hand.RIGHT)
    assert not any(rule == "substitution" for each in told for rule, _ in each.costs)


def test_why_names_a_rule_that_binds_with_its_whole_price() -> None:
    onsets = fingered(line("C4 D4 E4"), words("2 2 3"))
    told = sum(each.cost for each in explain(onsets, Hand.RIGHT, 205.0, 60))
    assert solve(onsets, Hand.RIGHT, 205.0, 60).cost == pytest.approx(told)
    costs = [dict(each.costs) for each in explain(onsets, Hand.RIGHT, 205.0, 60)]
    assert [each.get("one-finger") for each in costs] == [None, 30.0, None]


@pytest.mark.parametrize(
    "text",
    [
        "E5 F5 E5 D5 D5 E5 D5 C5 C5 D5 C5 B4",  # turns
        "C5 C5 B4 B4 A4 A4 G4 G4 F4 F4",  # pairs
        "C5 C5 C5 C5 D5 D5 D5 D5 B4",  # one key again and again
        "C5 D5 C5 D5 C5 D5 C5 B4",  # a trill
        "C4-E4 D4-F4 E4-G4 F4-A4",  # thirds
        "G#4 A4 B4 C5 D5 Eb5 F5 Eb5",  # rows
        "C5 E4-A4 E4-A4 B4 D4-G4",  # basses, of a left hand
        "C4 C6 C4 D4 E4 C6",
    ],
)
@pytest.mark.parametrize("length", ["1/4", "1/2"])
@pytest.mark.parametrize("given", [False, True])
def test_what_custom_charges_is_in_the_price(text: str, length: str, given: bool) -> None:
    """The price of the path is what is told of it, onset by onset, also of unusual fingers."""
    onsets = line(text, length=length)
    if given:
        odd = [5 if number % 2 else 1 for number in range(len(onsets))]
        onsets = fingered(
            onsets,
            [(finger,) if len(o.tones) == 1 else (None,) * len(o.tones)
             for o, finger in zip(onsets, odd, strict=True)],
        )  # fmt: skip
    solution = solve(onsets, Hand.RIGHT, 205.0, 100)
    told = sum(each.cost for each in explain(onsets, Hand.RIGHT, 205.0, 100))
    assert told == pytest.approx(solution.cost)
