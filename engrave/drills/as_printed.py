"""The passage as it is printed, with fingers, sources and measure numbers on its notes.

Enters: a ``Passage`` and the hands to keep. Leaves: a ``Sheet`` and the source it plays. What
families that keep the printed values (as written, hands apart, chain, staccato) have in common.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from engrave.drills.family import source_note
from engrave.drills.one_hand import alone, with_both_ends
from engrave.drills.one_staff import on_one_staff
from engrave.drills.printed_source import PrintedSource, clefs_of, numbered
from engrave.music.drill import SourceNote
from engrave.music.notes import Hand
from engrave.music.sheet import Bar, Sheet
from engrave.music.units import Quarters
from engrave.passage.model import Passage


@dataclass(frozen=True, slots=True)
class AsPrinted:
    """A passage as printed: the sheet, and the notes it plays in source order."""

    sheet: Sheet
    source: tuple[SourceNote, ...]


def as_printed(passage: Passage, hands: Sequence[Hand], *, keeps_staves: bool = False) -> AsPrinted:
    """The passage's sheet with the notes of ``hands`` alone, fingered and numbered.

    Those of one hand stand on one staff, in the clefs that suit them, unless ``keeps_staves``.
    """
    onsets = passage.onsets_of(hands)
    source = PrintedSource(onsets)
    staves = _staves(passage.sheet, hands)
    bars = tuple(
        _bar(bar, start, hands, staves, source)
        for start, bar in zip(passage.sheet.starts, passage.sheet.bars, strict=True)
    )
    slurs = with_both_ends((s for s in passage.sheet.spans if s.kind == "slur"), bars)
    spans = tuple(
        span
        for span in passage.sheet.spans
        if (span in slurs if span.kind == "slur" else span.staff in staves)
    )
    sheet = Sheet(bars, spans, staves)
    if len(hands) == 1 and not keeps_staves:
        sheet = on_one_staff(sheet, hands[0])
    return AsPrinted(sheet, tuple(source_note(onset) for onset in onsets))


def _staves(sheet: Sheet, hands: Sequence[Hand]) -> tuple[int, ...]:
    """Of both hands all staves, of one those on which it has notes."""
    if len(hands) > 1:
        return sheet.staves
    used = {
        event.staff
        for bar in sheet.bars
        for event in bar.events
        if event.hand in hands and event.tones
    }
    return tuple(sorted(used)) or (hands[0].staff,)


def _bar(
    bar: Bar, start: Quarters, hands: Sequence[Hand], staves: tuple[int, ...], source: PrintedSource
) -> Bar:
    return replace(
        bar,
        events=numbered(bar, [source.marked(event, start) for event in alone(bar, hands)]),
        clefs=clefs_of(bar, staves),
        directions=tuple(sign for sign in bar.directions if sign.staff in staves),
    )
