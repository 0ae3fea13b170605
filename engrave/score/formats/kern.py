"""Humdrum kern, by converter21, with the fingerings of its ``**fing`` spines.

Enters: the text of a file. Leaves: a music21 score whose notes carry their fingers. Knows nothing
of sheets.
"""

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from engrave.errors import EngraveError
from engrave.music.notes import NOTE_TYPES
from engrave.music.units import Quarters, quarters
from engrave.score.formats.fingerings import digits, finger
from engrave.score.formats.kern_text import legible, suspects, without
from engrave.score.formats.raw import RawTempo

_NUMBER = re.compile(r"\*MM(\d{1,4}(?:\.\d{1,3})?)(?![\d.])")
_WORDS = re.compile(r"!!!OMD\d*(?:@@?\w+)?:\s*(.*)")
_MARK = re.compile(r"\[(whole|half|quarter|eighth|sixteenth)(-dot)?\]\s*=\s*(\d{1,4})")
_TYPES = {"sixteenth": "16th"}


@dataclass(frozen=True, slots=True)
class _Row:
    """What stands in a ``**fing`` spine beside one line of notes."""

    is_grace: bool
    numbers: Sequence[int]


_Rows = Mapping[Quarters, Sequence[_Row]]
"""By the moment, in quarters from the start of the piece."""


MOST_UNREAD = 20
"""Measures of a file that may be left out; one with more is damaged as a whole."""


@dataclass(frozen=True, slots=True)
class Kern:
    """A kern file as its reader leaves it.

    ``staves`` says, where spines share one, which staff each music21 part is of, from the top;
    ``unread`` names the measures that could not be read.
    """

    score: Any
    tempos: Sequence[RawTempo]
    staves: tuple[int, ...]
    unread: Sequence[str]


def read_kern(text: str, name: str) -> Kern:
    """The music21 score of a kern file. Raises ``EngraveError``."""
    given = legible(text)
    music, unread = given.text, list(given.unread)
    file, said = _parsed(music)
    while said and len(unread) < MOST_UNREAD:
        tried = [(measure, without(music, measure)) for measure in suspects(music, said)]
        results = [(measure, new, *_parsed(new)) for measure, new in tried if new != music]
        better = [each for each in results if each[3] != said]
        if not better:
            break
        measure, music, file, said = min(better, key=lambda each: bool(each[3]))
        unread.append(measure)
    if said:
        raise EngraveError(f"{name} is not valid kern: {said[:200]}")
    return Kern(_score(file), list(_tempos(file)), given.staves, unread)


def _parsed(text: str) -> tuple[Any, str]:
    """The file as read, and what is wrong with it, if anything is."""
    from converter21.humdrum import HumdrumFile

    file = HumdrumFile()
    file.readString(text)
    if file.isValid:
        return file, ""
    return file, " ".join((file.parseError or "no reason given").split())


def _score(file: Any) -> Any:
    score = file.createMusic21Stream()
    # spines run from the lowest staff to the highest, the score's parts from the highest down
    tracks = sorted(token.track for token in file.spineStartList if token.isKern)
    for track, part in zip(reversed(tracks), score.parts, strict=False):
        _apply(part, _rows(file, track), left=track != tracks[-1])
    return score


def _tempos(file: Any) -> Iterator[RawTempo]:
    """``*MM`` (beats a minute) and ``!!!OMD`` (words, perhaps with a mark) at their places."""
    for line in file.lines():
        now = max(quarters(line.durationFromStart), Quarters(0))
        words = _WORDS.match(line.text)
        if words:
            mark = _MARK.search(words[1])
            beat = NOTE_TYPES[_TYPES.get(mark[1], mark[1])] if mark else Quarters(1)
            beat *= Quarters(3, 2) if mark and mark[2] else 1
            per_minute = Quarters(mark[3]) if mark else None
            yield RawTempo(0, now, words[1].split("[")[0].strip(), beat, per_minute)
        numbers = {match[1] for token in line.text.split("\t") if (match := _NUMBER.match(token))}
        for number in sorted(numbers)[:1]:
            yield RawTempo(0, now, per_minute=Quarters(number))


def _rows(file: Any, track: int) -> _Rows:
    """The fingers of the ``**fing`` spine on the right of the kern spine ``track``."""
    rows: dict[Quarters, list[_Row]] = defaultdict(list)
    for line in file.lines():
        if not line.isData:
            continue
        tokens = list(line.tokens())
        own = [place for place, token in enumerate(tokens) if token.track == track]
        beside = tokens[own[-1] + 1 : own[-1] + 2] if own else []
        if beside and beside[0].isDataType("**fing"):
            is_grace = any(tokens[place].isGrace for place in own)
            numbers = [] if beside[0].isNull else digits(beside[0].text)
            rows[quarters(line.durationFromStart)].append(_Row(is_grace, numbers))
    return rows


def _apply(part: Any, rows: _Rows, left: bool) -> None:
    graces: dict[Quarters, list[Any]] = defaultdict(list)
    notes: dict[Quarters, list[Any]] = defaultdict(list)
    for note in part.recurse().notes:
        moment = quarters(note.getOffsetInHierarchy(part))
        (graces if note.duration.isGrace else notes)[moment].append(note)
    for moment, here in rows.items():
        numbers = [number for row in here if not row.is_grace for number in row.numbers]
        finger(notes[moment], numbers, left)
        leading = [row for row in here if row.is_grace]
        for note, row in zip(graces[moment], leading, strict=False):
            finger([note], row.numbers, left)
