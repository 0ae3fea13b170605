"""What makes music harder never lowers a height: tempo, a smaller hand, a wider leap."""

from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.music.notes import Hand, Pitch
from engrave.music.sheet import Bar
from engrave.music.tempo import Goal
from engrave.survey import Side, Survey, survey
from tests.sheets import bar
from tests.survey.pieces import easy, score, with_hand

STEPS = "CDEFGAB"
VALUES = {"16": 1, "8": 2, "4": 4, "2": 8}
"""Values by name, in sixteenths."""

pitches = st.builds(
    Pitch, st.sampled_from(STEPS), st.sampled_from((0, 0, 0, 1, -1)), st.integers(2, 5)
)


@st.composite
def voices(draw: st.DrawFn) -> str:
    """A voice of one 4/4 bar: notes, chords of up to three keys and rests."""
    left, words = 16, []
    while left:
        value = draw(st.sampled_from([name for name, size in VALUES.items() if size <= left]))
        left -= VALUES[value]
        chord = draw(st.lists(pitches, max_size=3, unique_by=lambda pitch: pitch.midi))
        words.append(f"{','.join(pitch.spelling for pitch in chord) or 'r'}:{value}")
    return " ".join(words)


bars = st.lists(st.tuples(voices(), voices()), min_size=1, max_size=4).map(
    lambda found: [bar(*both, meter="4/4", name=str(n)) for n, both in enumerate(found, 1)]
)
tempos = st.integers(30, 200)


def at_tempo(music: list[Bar], mark: int, stretch_mm: float = 205) -> Survey:
    goal = Goal(Fraction(1), Fraction(mark))
    return survey(score(music), goal, dict.fromkeys(Hand, stretch_mm))


def assert_no_lower(harder: Survey, easier: Survey) -> None:
    """Every load of every beat, every height and the level."""
    for side, loads in easier.terrain.figures.items():
        for name, figures in loads.items():
            for before, after in zip(figures, harder.terrain.figures[side][name], strict=True):
                assert after >= before - 1e-9, (side, name)
    for before, after in zip(easier.terrain.whole, harder.terrain.whole, strict=True):
        assert after >= before - 1e-9
    assert harder.level.value >= easier.level.value - 1e-9


@settings(max_examples=25, deadline=None)
@given(bars, tempos, tempos)
def test_a_faster_tempo_lowers_nothing(music: list[Bar], one: int, other: int) -> None:
    slow, fast = sorted((one, other))
    assert_no_lower(at_tempo(music, fast), at_tempo(music, slow))


@settings(max_examples=25, deadline=None)
@given(bars, st.floats(150, 260), st.floats(150, 260))
def test_a_smaller_hand_lowers_nothing(music: list[Bar], one: float, other: float) -> None:
    small, large = sorted((one, other))
    assert_no_lower(at_tempo(music, 96, small), at_tempo(music, 96, large))


def leaping(white_keys: int) -> list[Bar]:
    """Easy music in which the left hand goes to and fro between C2 and a white key above."""
    far = Pitch(STEPS[white_keys % 7], 0, 2 + white_keys // 7).spelling
    music = easy(6)
    music[2] = with_hand(music[2], Hand.LEFT, f"C2:8 {far}:8 " * 4)
    return music


@settings(max_examples=25, deadline=None)
@given(st.integers(11, 24), st.integers(11, 24), tempos)
def test_a_wider_leap_lowers_nothing(one: int, other: int, mark: int) -> None:
    """From a twelfth on, for which any finger must leap; a trill may be harder than a fourth."""
    narrow, wide = (at_tempo(leaping(keys), mark) for keys in sorted((one, other)))
    assert max(left_leaps(wide)) >= max(left_leaps(narrow)) > 0
    assert max(wide.terrain.whole) >= max(narrow.terrain.whole) - 1e-9
    assert wide.level.parts["hardest"] >= narrow.level.parts["hardest"] - 1e-9


def left_leaps(found: Survey) -> tuple[float, ...]:
    return found.terrain.figures[Side.LEFT]["leaps"]


def test_what_an_open_hand_reaches_is_no_leap() -> None:
    """A tenth from little finger to thumb, whatever the hand's size: the thumb goes a sixth."""
    assert max(left_leaps(at_tempo(leaping(9), 96))) == 0
