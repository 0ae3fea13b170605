"""Fingers set one by one become the words that a teacher would write."""

from hypothesis import given
from hypothesis import strategies as st

from engrave.desk.fingers import with_word

PLACES = ["46.1"] * 3 + ["46.2"] * 4 + ["47.1"] * 4 + ["47.2", "48.1"]


def applied(words: dict[str, str], changes: dict[str, str | None]) -> dict[str, str]:
    return {k: v for k, v in {**words, **changes}.items() if v is not None}


def meant(words: dict[str, str]) -> dict[int, str]:
    """What the words say of every onset, counted by hand: from the place's first onset on."""
    found = {}
    for place, text in words.items():
        for number, word in enumerate(text.split()):
            if word != ".":
                found[PLACES.index(place) + number] = word
    return found


def test_a_first_finger_names_its_beat() -> None:
    assert with_word({}, PLACES, 0, "2") == {"46.1": "2"}
    assert with_word({}, PLACES, 4, "1-3-5") == {"46.2": ". 1-3-5"}


def test_the_next_finger_goes_on_and_a_gap_is_left_open() -> None:
    assert with_word({"46.1": "2 1"}, PLACES, 2, "3") == {"46.1": "2 1 3"}
    assert with_word({"46.1": "2 1"}, PLACES, 5, "3") == {"46.1": "2 1 . . . 3"}
    assert with_word({"46.1": "2 1"}, PLACES, 9, "3") == {"47.1": ". . 3"}


def test_a_word_that_stands_there_is_replaced_or_taken_back() -> None:
    assert with_word({"46": "2 1 2 3"}, PLACES, 3, "4") == {"46": "2 1 2 4"}
    assert with_word({"46.1": "2 1 2"}, PLACES, 2, ".") == {"46.1": "2 1"}
    assert with_word({"46.1": ". 1"}, PLACES, 1, ".") == {"46.1": None}
    assert with_word({}, PLACES, 1, ".") == {}


steps = st.tuples(st.integers(0, len(PLACES) - 1), st.sampled_from(["1", "2", "5", "1-3", "."]))


@given(st.lists(steps, max_size=20))
def test_whatever_is_typed_in_whatever_order_is_what_the_words_say(
    typed: list[tuple[int, str]],
) -> None:
    words: dict[str, str] = {}
    wanted: dict[int, str] = {}
    for onset, word in typed:
        words = applied(words, with_word(words, PLACES, onset, word))
        wanted[onset] = word
        assert meant(words) == {at: each for at, each in wanted.items() if each != "."}
