"""The goal tempo of a score: what was asked for, else its marks, its words, or a default.

Enters: a score and perhaps a goal. Leaves: a ``Pace``, which says where it comes from.
"""

import re
from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import inf, sqrt

from engrave.errors import EngraveError
from engrave.music.drill import Remark
from engrave.music.sheet import Moment, Sheet
from engrave.music.tempo import BEAT_UNITS, Goal
from engrave.music.units import Quarters
from engrave.score import Score
from engrave.survey.model import Pace

DEFAULT_BEATS = 100
"""Beats a minute where nothing says anything: a moderate tempo (common practice, no source)."""

QUICKEST = {"default": 8.0, "words": 10.0}
"""Onsets a second of a hand's quick notes that a tempo may ask that is not a mark: nobody writes a
piece to be played faster than that without a number (common practice, no source)."""

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

OPENING = 1
"""The last bar (from 0) whose words still name the tempo of the beginning: after a pickup."""

_BACK = ("tempo i", "tempo 1", "tempo primo")


SLOWEST, FASTEST = 10, 600
"""Beats a minute that a goal can have."""


def goal_of(text: str, score: Score) -> Goal:
    """The goal that ``96`` or ``dotted-quarter=60`` names; without a beat it is the first meter's.

    Raises ``EngraveError`` for what is no tempo.
    """
    name, has_beat, number = text.rpartition("=")
    bars = score.sheet.bars
    beat = BEAT_UNITS.get(name.strip()) if has_beat else bars[0].meter.beat if bars else Quarters(1)
    try:
        per_minute = Fraction(number.strip())
    except (ValueError, ZeroDivisionError):
        per_minute = Fraction(0)
    if beat is None or not SLOWEST <= per_minute <= FASTEST:
        raise EngraveError(
            f"{text!r} is not a tempo",
            hint=f"beats a minute from {SLOWEST} to {FASTEST}, as in 96 or dotted-quarter=60; "
            f"beats are {', '.join(BEAT_UNITS)}",
        )
    return Goal(beat, per_minute)


def pace_of(score: Score, goal: Goal | None = None) -> Pace:
    """The pace of ``score``; a ``goal`` moves all its tempos in proportion to the first."""
    marked, said = _marked(score)
    if not marked:
        marked, said = _worded(score)
    if goal is not None:
        first = marked[0][1] if marked else goal.quarters_per_minute
        factor = goal.quarters_per_minute / first
        changes = [(time, tempo * factor) for time, tempo in marked]
        return _pace(
            changes or [(Fraction(0), goal.quarters_per_minute)],
            _said("goal", goal.beat, goal.per_minute),
        )
    if marked:
        return _pace(marked, said)
    return _default(score)


def _pace(changes: Sequence[tuple[Quarters, Fraction]], said: Remark) -> Pace:
    (_, first), *rest = changes
    return Pace(((Fraction(0), first), *rest), said)


def _said(key: str, beat: Quarters, per_minute: Fraction, **values: object) -> Remark:
    """Where a tempo comes from, in a beat that has a name, in quarters where it has none."""
    unit = beat if beat in BEAT_UNITS.values() else Quarters(1)
    mark = max(1, round(per_minute * beat / unit))
    return Remark.of(f"survey.tempo.{key}", unit=unit, mark=mark, **values)


def _marked(score: Score) -> tuple[list[tuple[Quarters, Fraction]], Remark]:
    starts = score.sheet.starts
    changes = [
        (starts[mark.moment.bar] + mark.moment.offset, mark.beat * mark.per_minute)
        for mark in score.tempos
        if mark.per_minute > 0
    ]
    if not changes:
        return [], Remark("")
    first = next(mark for mark in score.tempos if mark.per_minute > 0)
    return changes, _said("marks", first.beat, first.per_minute)


def _worded(score: Score) -> tuple[list[tuple[Quarters, Fraction]], Remark]:
    """Tempos that words stand for: one at the opening or in the title, then those on the way.

    Words on the way alone (an adagio at the end) say nothing of the rest.
    """
    sheet, starts = score.sheet, score.sheet.starts
    if not sheet.bars:
        return [], Remark("")
    beat = sheet.bars[0].meter.beat
    changes: list[tuple[Quarters, Fraction]] = []
    words = score.title
    if (titled := tempo_of_words(score.title, beat)) is not None:
        changes.append((Fraction(0), titled))
    for moment, text in _words(sheet):
        tempo = tempo_of_words(text, sheet.bars[moment.bar].meter.beat)
        if tempo is None and changes and text.casefold().startswith(_BACK):
            tempo = changes[0][1]
        if tempo is not None and moment.bar <= OPENING:
            words, changes = text, [(Fraction(0), tempo)]
        elif tempo is not None and changes:
            changes.append((starts[moment.bar] + moment.offset, tempo))
    if not changes:
        return [], Remark("")
    most = _quickest(sheet, "words") / changes[0][1]
    if most < 1:
        changes = [(time, Fraction(max(1, round(tempo * most)))) for time, tempo in changes]
    return changes, _said("words", beat, changes[0][1] / beat, words=words)


def _words(sheet: Sheet) -> Iterable[tuple[Moment, str]]:
    for index, bar in enumerate(sheet.bars):
        for sign in sorted(bar.directions, key=lambda sign: sign.offset):
            if sign.kind == "words":
                yield Moment(index, sign.offset), sign.text


def tempo_of_words(text: str, beat: Quarters) -> Fraction | None:
    """Quarter notes a minute that tempo words stand for in a meter of that beat; None without any.

    Several words meet in the middle (allegro moderato). A longer beat goes slower, but not as much
    slower as it is longer: by its square root (common practice, no source).
    """
    found = [TERMS[word] for word in re.findall(r"[^\W\d_]+", text.casefold()) if word in TERMS]
    if not found:
        return None
    per_minute = sum(found) / len(found) / sqrt(beat)
    return Fraction(round(per_minute)) * beat


def _default(score: Score) -> Pace:
    bars = score.sheet.bars
    beat = bars[0].meter.beat if bars else Fraction(1)
    per_minute = DEFAULT_BEATS / sqrt(beat)
    mark = Fraction(max(1, round(min(per_minute, _quickest(score.sheet, "default") / beat))))
    return Pace(((Fraction(0), mark * beat),), _said("default", beat, mark))


def _quickest(sheet: Sheet, source: str) -> float:
    """Quarters a minute at which the quick notes are as quick as a tempo of that source may ask."""
    quick = _quick_notes(sheet)
    return 60 * QUICKEST[source] / quick if quick else inf


def _quick_notes(sheet: Sheet) -> float:
    """Notes a quarter in the quick beats of either hand: only a twentieth has more."""
    counts: list[float] = []
    for bar in sheet.bars:
        beat = bar.meter.beat
        moments = {(e.hand, e.offset) for e in bar.events if e.is_struck and not e.grace}
        tally: dict[tuple[str, int], int] = {}
        for hand, offset in moments:
            place = (hand, int(offset / beat))
            tally[place] = tally.get(place, 0) + 1
        counts += [count / float(beat) for count in tally.values()]
    return sorted(counts)[int(0.95 * (len(counts) - 1))] if counts else 0.0
