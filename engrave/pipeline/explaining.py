"""Why the fingers of a passage are what they are, a measure a line.

Enters: checked marks, a passage's id or number, a language. Leaves: lines for a terminal. The words
stand in the word lists, tables ``fingering.why`` and ``fingering.reason``.
"""

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby

from engrave.errors import EngraveError
from engrave.fingering import Explanation, explain
from engrave.messages import ENGLISH
from engrave.music.notes import FingerOrigin, Pitch
from engrave.music.onset import Onset
from engrave.passage.model import Passage
from engrave.pipeline.checking import Checked
from engrave.remarks import Remark
from engrave.words import say

_DEAR = 2.0
"""What a rule has to charge to be named."""
_FEW = 0.1
"""A given finger that fewer of the good fingerings have is odd."""
_LEAST_GIVEN = 4
"""Of so many given fingers in a row it can be said that they were counted from the wrong onset."""


def why(checked: Checked, name: str, language: str = "en") -> Iterator[str]:
    """For each measure its keys and fingers, what was dear about them, and what others take.

    ``name`` is the passage's id or its number in the booklet.
    """
    passages = {each.passage.id: each.passage for each in checked.passages}
    numbers = {str(mark.number): mark.id for mark in checked.marks.passages if mark.id in passages}
    wanted = name if name in passages else numbers.get(name)
    if wanted is None:
        raise EngraveError(
            f"there is no passage {name!r}",
            checked.marks.source,
            f"the passages are {', '.join(passages)}",
        )
    return _lines(passages[wanted], language)


def _said(key: str, language: str, **values: object) -> str:
    return say(Remark.of(f"fingering.why.{key}", **values), language)


def _lines(passage: Passage, language: str) -> Iterator[str]:
    for hand in passage.hands:
        line = passage.lines[hand]
        whose = Counter(tone.finger.origin for o in line for tone in o.tones if tone.finger)
        shown = ", ".join(
            _said(f"by-{each}", language, count=whose[each]) for each in FingerOrigin if whose[each]
        )
        yield _said("hand", language, hand=hand, whose=shown)
        tempo, stretch_mm = passage.goal.quarters_per_minute, passage.stretch_mm[hand]
        told = explain(line, hand, stretch_mm, tempo)
        free = explain(_bare(line), hand, stretch_mm, tempo)
        for where in _misplaced(line, free):
            yield "  " + _said("odd", language, text=_said(where, language))
        both = zip(line, told, free, strict=True)
        for measure, group in groupby(both, key=lambda item: item[0].measure):
            yield from _measure(passage, measure, list(group), language)


def _measure(
    passage: Passage,
    measure: str,
    group: Sequence[tuple[Onset, Explanation, Explanation]],
    language: str,
) -> Iterator[str]:
    taken = ", ".join(_taken(onset, language) for onset, *_ in group)
    yield "  " + _said("measure", language, measure=measure, taken=taken)
    for onset, told, free in group:
        beat = onset.beat_in(passage.sheet)
        reasons = [_reason(rule, language) for rule, cost in told.costs if cost >= _DEAR]
        if reasons:
            taken = _taken(onset, language)
            said = "; ".join(dict.fromkeys(reasons))
            yield "    " + _said("beat", language, beat=beat, taken=taken, reasons=said)
        for text in _odd(onset, free, language):
            yield "    " + _said("odd-at", language, beat=beat, text=text)


def _reason(rule: str, language: str) -> str:
    """A rule in words: ``pass-under-3`` is looked up without its fingers, which are put in."""
    name, fingers = re.fullmatch(r"(.*?)(?:-(\d+))?", rule).groups()  # type: ignore[union-attr]
    return say(Remark.of(f"fingering.reason.{name}", fingers="–".join(fingers or "")), language)


def _taken(onset: Onset, language: str) -> str:
    """``D 1``, ``C-E-G 1-3-5``."""
    keys = "-".join(_named(pitch, language) for pitch in onset.pitches)
    fingers = "-".join(tone.finger.shown if tone.finger else "." for tone in onset.tones)
    return f"{keys} {fingers}"


def _named(pitch: Pitch, language: str) -> str:
    """``F♯``; in German ``Fis``."""
    if language == ENGLISH:
        return pitch.step + ("♯" * pitch.alter if pitch.alter > 0 else "♭" * -pitch.alter)
    return say(Remark.of("fingering.why.key", pitch=pitch), language)


def _odd(onset: Onset, free: Explanation, language: str) -> Iterator[str]:
    """Given fingers that few would take."""
    for tone, shares in zip(onset.tones, free.shares, strict=True):
        if tone.finger and tone.finger.origin is not FingerOrigin.COMPUTED:
            share = dict(shares).get(tone.finger.number, 0.0)
            usual, most = shares[0]
            if share < _FEW < 0.5 < most:
                yield _said(
                    "unusual",
                    language,
                    note=_named(tone.pitch, language),
                    whose=_said(f"whose-{tone.finger.origin}", language),
                    finger=tone.finger.number,
                    usual=usual,
                )


def _misplaced(line: Sequence[Onset], free: Sequence[Explanation]) -> Iterator[str]:
    """Whether the teacher's fingers fit the onsets beside theirs much better, and on which side."""
    given = [
        (number, onset.tones[0].finger.number)
        for number, onset in enumerate(line)
        if len(onset.tones) == 1
        and onset.tones[0].finger
        and onset.tones[0].finger.origin is FingerOrigin.MARKS
    ]
    if len(given) < _LEAST_GIVEN:
        return

    def fit(shift: int) -> float:
        shares = [
            dict(free[number + shift].shares[0]).get(finger, 0.0)
            for number, finger in given
            if 0 <= number + shift < len(line)
        ]
        return sum(shares) / len(given)

    for shift, where in ((1, "later"), (-1, "earlier")):
        if fit(shift) > 0.6 and fit(0) < fit(shift) / 2:
            yield where


def _bare(line: Sequence[Onset]) -> list[Onset]:
    """The line without fingers, to be asked what most would take."""
    return [
        replace(onset, tones=tuple(replace(tone, finger=None) for tone in onset.tones))
        for onset in line
    ]
