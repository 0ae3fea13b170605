"""What no piano score contains.

Enters: a file's text or tree before it is read, and its raw bars after. Raises ``EngraveError`` at
the first thing in them that cannot be meant. Knows nothing of notation.
"""

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Any
from xml.etree.ElementTree import Element

from engrave.errors import EngraveError
from engrave.music.units import Quarters
from engrave.score.formats.raw import RawBar, RawItem

LONGEST_BAR = 256
"""Quarters; a free cadenza printed as one bar has fewer."""
OCTAVES = range(-1, 11)
ALTERS = range(-3, 4)
MOST_DOTS = 4
MOST_NOTES = 60_000
"""Notes of one part; a long sonata movement has a fifth of this."""
MOST_NOTES_ELSEWHERE = 20_000
"""The same for the formats whose readers are slower."""
MOST_IN_BAR = 2_000
"""Notes of a bar, chords counted once; the longest cadenza printed as one bar has a fifth."""
MOST_AT_ONCE = 88
"""Notes of a bar that begin together: the keys of a piano."""
MOST_IN_TUPLET = 256
"""Notes in the time of others."""
MOST_QUARTERS = 20_000
"""Of a piece; a long sonata has a fifth of this."""
MOST_BEATS = 128
"""Beats of a bar; readers divide a meter into its beats, and would never end at a million."""

MOST_RESTS = 999
"""Bars of one rest; nobody practises a longer one."""

_RESTS = re.compile(r"\b[ZX](\d{1,4300})")
"""A rest of so many bars in ABC."""
_METERS = re.compile(r"^M:\s*(\d+)|\[M:\s*(\d+)|(?:^|\t)\*M(\d+)", re.MULTILINE)
"""Meters as ABC and kern write them."""


def refuse_endless(notes: int, most: int, name: str) -> None:
    """Raise where a part, or a file, has more ``notes`` than ``most``."""
    if notes > most:
        raise EngraveError(
            f"{name} has {notes} notes to read, more than {most}",
            hint="export the movement that is practised as a score of its own",
        )


def refuse_endless_meters(source: Element | str) -> None:
    """Raise where a meter has more beats than a bar can hold, before a reader counts them out."""
    for count in _counts(source):
        if len(count) > len(str(MOST_BEATS)) or int(count) > MOST_BEATS:
            raise EngraveError(
                f"a meter of {count[:12]} beats cannot be meant", hint="mend it in the score"
            )


def refuse_endless_rests(text: str) -> None:
    """Raise where an ABC file has a rest of more bars than any, before they are written out."""
    for count in _RESTS.findall(text):
        if len(count) > len(str(MOST_RESTS)):
            raise EngraveError(
                f"a rest of {count[:12]} measures cannot be meant", hint="mend it in the score"
            )


def refuse_long_silence(file: Any) -> None:
    """Raise where a MIDI file is longer than any piece, before its bars are counted out."""
    unit = file.ticksPerQuarterNote or 1
    for track in file.tracks:
        ticks = sum(event.time for event in track.events if event.isDeltaTime())
        if ticks / unit > MOST_QUARTERS:
            raise EngraveError(
                f"a track lasts {ticks // unit} quarters, more than {MOST_QUARTERS}",
                hint="export the movement that is practised as a score of its own",
            )


def _counts(source: Element | str) -> Iterable[str]:
    """The numbers of beats of all meters: of MusicXML, MEI, ABC or kern."""
    if isinstance(source, str):
        said = [next(filter(None, found), "") for found in _METERS.findall(source)]
    else:
        said = [element.text or "" for element in source.iter("beats")]
        for element in source.iter():
            said += [
                element.get(name, "") for name in ("meter.count", "count") if name in element.attrib
            ]
    return (number for text in said for number in re.findall(r"\d+", text))


def refuse_impossible(bars: Sequence[RawBar], staves: int, name: str) -> None:
    """Raise where there are no notes; a bar that cannot be meant is emptied and says why.

    Where it is endless, a pitch lies beyond hearing, dots are a row, a note is on none of the
    part's ``staves``.
    """
    for bar in bars:
        if len(bar.items) > MOST_IN_BAR:
            bar.unread = f"it has more than {MOST_IN_BAR} notes"
        elif _at_once(bar.items) > MOST_AT_ONCE:
            bar.unread = f"more than {MOST_AT_ONCE} notes begin in it at once"
        bar.unread = bar.unread or next(
            filter(None, (_problem(item, staves) for item in bar.items)), None
        )
        if bar.unread:
            bar.items, bar.reach = [], Quarters(0)
            bar.signs = [sign for sign in bar.signs if sign.offset == 0]
    if all(item.element.isRest for bar in bars for item in bar.items):
        bad = next((bar for bar in bars if bar.unread), None)
        if bad is None:
            raise EngraveError(f"{name} has no notes")
        raise EngraveError(
            f"measure {bad.name} cannot be meant: {bad.unread}", hint="mend it in the score"
        )


def _at_once(items: Sequence[RawItem]) -> int:
    """How many notes begin together at most, grace notes aside."""
    notes: Counter[Quarters] = Counter()
    for item in items:
        if not item.element.isRest and item.element.duration.quarterLength:
            notes[item.offset] += len(item.printed)
    return max(notes.values(), default=0)


def _problem(item: RawItem, staves: int) -> str | None:
    duration = item.element.duration
    for staff in (item.staff, *item.staves):
        if not 1 <= staff <= staves:
            return f"a note stands on staff {staff}"
    if not item.offset + duration.quarterLength <= LONGEST_BAR:
        return f"it is longer than {LONGEST_BAR} quarters"
    if any(piece.dots > MOST_DOTS for piece in duration.components):
        return f"a note has more than {MOST_DOTS} dots"
    for tuplet in duration.tuplets:
        if max(tuplet.numberNotesActual, tuplet.numberNotesNormal) > MOST_IN_TUPLET:
            return f"a tuplet of more than {MOST_IN_TUPLET} notes stands in it"
    for pitch in () if item.element.isRest else item.element.pitches:
        if pitch.implicitOctave not in OCTAVES:
            return f"a note stands in octave {pitch.implicitOctave}"
        if int(pitch.alter) not in ALTERS:
            return f"a note is altered by {pitch.alter:g} semitones"
    return None
