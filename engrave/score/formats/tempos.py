"""Tempos that stand elsewhere in a MusicXML file than in the piano's own part.

Enters: the parts of a tree, and which of them are read. Leaves: ``RawTempo``s: marks and words of
the other parts, and what the file is played at. Knows no sheets.
"""

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from xml.etree.ElementTree import Element

from engrave.music.notes import NOTE_TYPES
from engrave.music.units import Quarters
from engrave.score.formats.raw import RawTempo

LONGEST = 60
"""Letters; tempo words are short, and a longer text is about something else."""
_NUMBER = re.compile(r"\d+(\.\d+)?")


def tempos_elsewhere(parts: Sequence[Element], own: Sequence[int]) -> list[RawTempo]:
    """Of every part; of those in ``own`` what is for playback alone, the rest being printed."""
    return [
        tempo
        for number, part in enumerate(parts)
        for tempo in _tempos(part)
        if number not in own or tempo.played
    ]


def _tempos(part: Element) -> Iterator[RawTempo]:
    divisions = Fraction(1)
    for index, measure in enumerate(part.iterfind("measure")):
        now = Fraction(0)
        for element in measure:
            if element.tag == "attributes":
                divisions = _number(element.findtext("divisions")) or divisions
            elif element.tag in ("direction", "sound"):
                shift = (_number(element.findtext("offset")) or Fraction(0)) / divisions
                yield from _told(element, index, max(now + shift, Fraction(0)))
            elif element.find("chord") is None:
                length = (_number(element.findtext("duration")) or Fraction(0)) / divisions
                now += -length if element.tag == "backup" else length


def _told(element: Element, bar: int, offset: Quarters) -> Iterator[RawTempo]:
    words = " ".join(
        " ".join((each.text or "").split()) for each in element.iterfind("direction-type/words")
    )
    if words and len(words) <= LONGEST:
        yield RawTempo(bar, offset, words)
    mark = element.find("direction-type/metronome")
    beat = _beat(mark) if mark is not None else None
    per_minute = _number(mark.findtext("per-minute")) if mark is not None else None
    if beat and per_minute:
        yield RawTempo(bar, offset, words, beat, per_minute)
    sound = element if element.tag == "sound" else element.find("sound")
    played = _number(sound.get("tempo")) if sound is not None else None
    if played and not per_minute:
        yield RawTempo(bar, offset, per_minute=played, played=True)


def _beat(mark: Element) -> Quarters | None:
    plain = NOTE_TYPES.get((mark.findtext("beat-unit") or "").strip())
    dots = len(mark.findall("beat-unit-dot"))
    return plain * (2 - Fraction(1, 2**dots)) if plain and dots < 3 else None


def _number(text: str | None) -> Fraction | None:
    match = _NUMBER.search((text or "")[:20])
    sign = -1 if match and "-" in (text or "")[: match.start()] else 1
    return sign * Fraction(match[0]) if match else None


def headers(root: Element) -> list[str]:
    """The texts at the head of a file among which tempo words may stand, the surest last."""
    credits = (each.text for each in root.iterfind("credit/credit-words"))
    texts = [root.findtext("movement-title"), *credits]
    said = (" ".join((text or "").split()) for text in texts)
    return [text for text in said if text and len(text) <= LONGEST]
