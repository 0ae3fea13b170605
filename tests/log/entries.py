"""Entries of a log, made for tests."""

from datetime import date, timedelta
from fractions import Fraction
from hashlib import sha256

from hypothesis import strategies as st

from engrave.log.model import Adoption, Entry, Lesson, Practised, Withdrawal
from engrave.music.tempo import BEAT_UNITS

PIECE, STUDENT = "9f2ab64c11d03e57", "03b7c2d1aa5e6f10"


def id_of(number: int) -> str:
    return sha256(b"%d" % number).hexdigest()[:32]


PASSAGES = st.sampled_from(["run", "chords", "m12-14", "Leaps-2", "a_b"])
DRILLS = st.builds(
    "{}.rhythms.{}".format, PASSAGES, st.sampled_from(["long-short", "custom-3-1-2", "x.right"])
)
WORDS = st.text(st.characters(exclude_categories=("C", "Zl", "Zp"))).map(
    lambda text: " ".join(text.split())[:60].strip()
)
MARKED = st.tuples(st.integers(10, 600), st.sampled_from([*BEAT_UNITS.values(), Fraction(3, 8)]),
                   st.integers(0, 99))  # fmt: skip
MINUTES = st.none() | st.integers(0, 6000).map(lambda tenths: Fraction(tenths, 10))


@st.composite
def practised(draw: st.DrawFn) -> Practised:
    is_drill = draw(st.booleans())
    mark, beat, clean = draw(MARKED | st.just((None, None, None)))
    target = draw(DRILLS if is_drill else PASSAGES)
    return Practised(target, is_drill, mark, beat, clean, draw(MINUTES), draw(WORDS))


IDS = st.lists(PASSAGES, unique=True, max_size=4).map(tuple)
NUMBERS = st.integers(0, 30)
WHATS = (
    practised()
    | st.builds(Lesson, IDS, IDS)
    | st.builds(Withdrawal, NUMBERS.map(id_of))
    | st.builds(Adoption, st.just("0123456789abcdef"))
)
DAYS = st.integers(0, 60).map(lambda days: date(2027, 1, 31) + timedelta(days=days))
ENTRIES = st.builds(
    Entry, NUMBERS.map(id_of), DAYS, st.just(PIECE), st.just(STUDENT), WHATS
)  # fmt: skip
