"""What tempo words stand for, and which words change a tempo by degrees or bring it back.

Enters: words as they are printed. Leaves: beats a minute, or nothing. Knows no scores.
"""

import re
from fractions import Fraction
from math import sqrt

from engrave.music.units import Quarters

TERMS: dict[str, int] = {
    "larghissimo": 40, "grave": 42, "largo": 48, "larghetto": 62, "lento": 54, "adagio": 60,
    "adagietto": 70, "andante": 80, "andantino": 88, "moderato": 104, "allegretto": 114,
    "allegro": 134, "vivace": 148, "vivo": 148, "presto": 178, "prestissimo": 200,
    "langsam": 54, "ruhig": 66, "gehend": 80, "mäßig": 96, "mässig": 96, "bewegt": 116,
    "lebhaft": 136, "munter": 126, "rasch": 148, "schnell": 152, "geschwind": 144,
    "lent": 54, "modéré": 96, "animé": 132, "vif": 148, "vite": 152,
    "troppo": 104, "tanto": 104,
    "slow": 56, "slowly": 56, "moderate": 100, "moderately": 100, "lively": 132, "fast": 152,
}  # fmt: skip
"""Quarter beats a minute that tempo words stand for: the middles of the ranges printed on the dials
of metronomes (from memory; makers differ)."""

MODERATE = 104

_NOT = {"nicht", "not", "pas"}
_RELATIVE = frozenset({"più", "piu", "meno", "more", "less", "plus", "moins", "mehr", "weniger"})
_BY_DEGREES = re.compile(
    r"\b(rit|riten\w*|ritard\w*|rall\w*|slent\w*|allarg\w*|calando|morendo|smorz\w*|accel\w*"
    r"|string\w*|affrett\w*|precipit\w*|poco a poco|verbreit\w*|zögernd|beschleunig\w*"
    r"|ralentis\w*|cédez|pressez|serrez)\b",
    re.IGNORECASE,
)
_BACK = re.compile(r"\b(a tempo|tempo (i|1|primo|iº)|im zeitmaß|au mouvement|1er mouv)", re.I)


def tempo_of_words(text: str, beat: Quarters) -> Fraction | None:
    """Quarter notes a minute that tempo words stand for in a meter of that beat; None without any.

    Several words meet in the middle (allegro moderato); what is denied (nicht schnell) is moderate,
    and what is said of another tempo (più lento) stands for none. A longer beat goes
    slower, but not as much slower as it is longer: by its square root (common practice, no source).
    """
    said = re.findall(r"[^\W\d_]+", text.casefold())
    if not _RELATIVE.isdisjoint(said):
        return None
    named = [
        MODERATE if _NOT & set(said[max(place - 2, 0) : place]) else TERMS[word]
        for place, word in enumerate(said)
        if word in TERMS
    ]
    if not named:
        return None
    per_minute = sum(named) / len(named) / sqrt(beat)
    return Fraction(round(per_minute)) * beat


def is_gradual(text: str) -> bool:
    """Whether the words begin a change by degrees (ritardando, accelerando)."""
    return _BY_DEGREES.search(text) is not None


def is_return(text: str) -> bool:
    """Whether the words bring the tempo back that there was (a tempo, Tempo I)."""
    return _BACK.search(text) is not None
