"""Links: parts of a passage one after another, each running on into what follows it.

Enters: a passage and ``Link``s. Leaves: a sheet of them, in the order given. A hand's voices are
written as one line: what is held through another note is cut at that note.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from engrave.drills.barring import Room, Written, bar_up
from engrave.drills.family import key_at, written_note
from engrave.music.notes import Hand, Pitch
from engrave.music.onset import Onset
from engrave.music.sheet import Meter, Sheet
from engrave.music.units import Quarters, is_dotted
from engrave.passage.model import Passage

Identity = tuple[Quarters, Hand, tuple[Pitch, ...]]
"""When, by which hand, and which keys: of an onset held over a link's edge there are fewer."""


@dataclass(frozen=True, slots=True)
class Link:
    """A part of the passage, in quarters, and the beat it runs on into (empty for the last)."""

    start: Quarters
    end: Quarters
    arrival: Quarters
    meter: Meter

    @property
    def lead(self) -> Quarters:
        """How long after a beat it begins, so that it arrives on the next: an upbeat of less."""
        missing = self.meter.beat - (self.end - self.start)
        return max(missing, Fraction(0)) if self.arrival > self.end else Fraction(0)


def laid(passage: Passage, links: Sequence[Link]) -> tuple[Sheet, list[Onset]]:
    """The links one after another, and the onsets that they play, in source order."""
    whole = passage.onsets_of(passage.hands)
    over = [held for link in links for onset in whole if (held := _held_over(onset, link))]
    onsets = sorted(dict.fromkeys([*whole, *over]), key=_order)
    sheet = _sheet(passage, links, onsets)
    used = {index for _, _, event in sheet.timed() for index in event.source}
    if len(used) == len(onsets):
        return sheet, onsets
    kept = [onset for index, onset in enumerate(onsets) if index in used]
    return _sheet(passage, links, kept), kept


def _sheet(passage: Passage, links: Sequence[Link], onsets: Sequence[Onset]) -> Sheet:
    index = {_identity(onset): number for number, onset in enumerate(onsets)}
    bars, lines, now = [], {hand: list[Written]() for hand in passage.hands}, Fraction(0)
    for link in links:
        rooms = list(_rooms(passage, link))
        length = sum((room.length for room in rooms), Fraction(0))
        lead = link.lead
        for hand in passage.hands:
            lines[hand] += _lay(passage, hand, link, now + lead, length - lead, index)
        bars += rooms
        now += length
    return bar_up(
        lines.values(),
        bars,
        key_at(passage, 0),
        tuple(sorted(hand.staff for hand in passage.hands)),
        label_again=True,
    )


def _rooms(passage: Passage, link: Link) -> Iterator[Room]:
    """A beat and the arrival share a bar of two beats; a longer link has the passage's own bars.

    Its arrival stands in the rest of the last of them, or in a bar of its own.
    """
    length, beat = link.end - link.start, link.meter.beat
    if length <= beat:
        meter = Meter(6, int(12 / beat)) if is_dotted(beat) else Meter(2, int(4 / beat))
        yield Room(meter.length, meter)
        return
    arrives = link.arrival > link.end
    for start, bar in zip(passage.sheet.starts, passage.sheet.bars, strict=True):
        first, last = max(start, link.start), min(start + bar.length, link.end)
        if first >= last:
            continue
        if arrives and last < start + bar.length:
            last, arrives = start + bar.length, False
        missing = bar.meter.length - (last - first)
        yield Room(last - first, bar.meter, max(missing, Fraction(0)), implicit=missing != 0)
    if arrives:
        yield Room(link.meter.length, link.meter)


def _lay(
    passage: Passage,
    hand: Hand,
    link: Link,
    now: Quarters,
    length: Quarters,
    index: dict[Identity, int],
) -> Iterator[Written]:
    """The hand's onsets inside the link, then its first onset of the arrival, held to the end.

    Of what sounded before, the keys still held where the link begins are struck anew; the last
    link's last onset is held.
    """
    line = passage.lines[hand]
    inside = [o for o in line if o.time < link.end and o.time + o.length > link.start]
    inside = [o for o in inside if o.time >= link.start or o is _last_before(inside, link.start)]
    inside = [_held_over(onset, link) or onset for onset in inside]
    landing = next((o for o in line if link.end <= o.time < link.arrival), None)
    nexts = [*inside[1:], landing][: len(inside)]
    for onset, following in zip(inside, nexts, strict=True):
        start = max(onset.time, link.start)
        end = min(onset.time + onset.length, link.start + length)
        if following:
            end = min(end, following.time)
        elif link.arrival == link.end:
            end = link.start + length
        if end > start:  # what is struck where the link begins leaves no room for what was held
            yield _note(passage, onset, index, now + start - link.start, end - start)
    if landing:
        start = now + landing.time - link.start
        yield _note(passage, landing, index, start, now + length - start)


def _held_over(onset: Onset, link: Link) -> Onset | None:
    """The onset with the keys alone that are still held where the link begins after it."""
    if onset.time >= link.start or onset.time + onset.length <= link.start:
        return None
    tones = tuple(tone for tone in onset.tones if onset.time + tone.length > link.start)
    return replace(onset, tones=tones)


def _order(onset: Onset) -> tuple[Quarters, int, int]:
    return onset.time, onset.hand.staff, -len(onset.tones)


def _identity(onset: Onset) -> Identity:
    return onset.time, onset.hand, onset.pitches


def _last_before(onsets: Sequence[Onset], time: Quarters) -> Onset | None:
    return next((onset for onset in reversed(onsets) if onset.time < time), None)


def _note(
    passage: Passage,
    onset: Onset,
    index: dict[Identity, int],
    time: Quarters,
    length: Quarters,
) -> Written:
    return written_note(passage, onset, index[_identity(onset)], time, length, onset.articulations)
