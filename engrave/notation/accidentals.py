"""Which accidentals are printed: by the key, by what stands earlier in the bar, as a courtesy.

Enters: a ``Sheet``. Leaves: the accidental of every tone that gets one. An accidental holds for its
letter in its octave on its staff to the end of the bar; a tie carries it across the bar line, for
the tied note alone (common practice, no source).
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import groupby

from engrave.music.sheet import Bar, Event, KeySignature, Sheet, Tone

NAMES = {
    -3: "triple-flat", -2: "flat-flat", -1: "flat", 0: "natural",
    1: "sharp", 2: "double-sharp", 3: "triple-sharp",
}  # fmt: skip
"""MusicXML 4.0 ``accidental-value`` by alteration in semitones."""

StaffPlace = tuple[int, int]
"""A staff and a height on it (``Pitch.diatonic``)."""


@dataclass(frozen=True, slots=True)
class Accidental:
    """A printed accidental by its MusicXML name; ``courtesy`` where the rules do not ask for it."""

    name: str
    courtesy: bool = False


BarAccidentals = dict[tuple[int, int], Accidental]
"""A bar's accidentals by the index of the event in the bar, and of the tone in the event."""


@dataclass(slots=True)
class _Memory:
    """What a reader has in mind: ``bar`` holds to the bar line, ``doubts`` asks for a courtesy."""

    key: KeySignature
    bar: dict[StaffPlace, int | None] = field(default_factory=dict)
    doubts: dict[StaffPlace, int] = field(default_factory=dict)

    def in_force(self, place: StaffPlace, step: str) -> int | None:
        return self.bar.get(place, self.key.alter_of(step))

    def next_bar(self, steps: dict[StaffPlace, str]) -> "_Memory":
        """Only what this bar altered against the signature is doubtful in the next one."""
        heard = {**self.doubts, **self.bar}
        return _Memory(
            self.key,
            doubts={
                place: alter
                for place, alter in heard.items()
                if alter is not None and place in steps and alter != self.key.alter_of(steps[place])
            },
        )


def printed(sheet: Sheet) -> list[BarAccidentals]:
    """The accidentals that each bar of ``sheet`` prints."""
    bars: list[BarAccidentals] = []
    memory = _Memory(KeySignature(0))
    for bar in sheet.bars:
        memory.key = bar.key
        signs: BarAccidentals = {}
        steps: dict[StaffPlace, str] = {}
        for moment in _moments(bar):
            _read(moment, memory, steps, signs)
        bars.append(signs)
        memory = memory.next_bar(steps)
    return bars


def _moments(bar: Bar) -> Iterable[list[tuple[int, Event]]]:
    """Events that are read together, in the order of reading; grace notes before their note."""
    order = sorted(
        ((index, event) for index, event in enumerate(bar.events) if event.tones),
        key=lambda item: (item[1].offset, not item[1].grace, item[1].voice),
    )
    for (_, grace), events in groupby(order, key=lambda item: (item[1].offset, item[1].grace)):
        if grace:
            yield from ([item] for item in events)
        else:
            yield list(events)


def _read(
    moment: list[tuple[int, Event]],
    memory: _Memory,
    steps: dict[StaffPlace, str],
    signs: BarAccidentals,
) -> None:
    clashing = _clashes(event for _, event in moment)
    for index, event in moment:
        for number, tone in enumerate(event.tones):
            place = (event.staff, tone.pitch.diatonic)
            steps[place] = tone.pitch.step
            accidental = _accidental(tone, place, memory, place in clashing)
            if accidental:
                signs[index, number] = accidental
    for place in clashing:
        memory.bar[place] = None


def _clashes(events: Iterable[Event]) -> set[StaffPlace]:
    """Places where two alterations of one letter sound together: both are always written out."""
    alters = {
        (event.staff, tone.pitch.diatonic, tone.pitch.alter)
        for event in events
        for tone in event.tones
    }
    return {place for place, n in Counter(alter[:2] for alter in alters).items() if n > 1}


def _accidental(tone: Tone, place: StaffPlace, memory: _Memory, clash: bool) -> Accidental | None:
    alter = tone.pitch.alter
    in_force = memory.in_force(place, tone.pitch.step)
    if tone.tie_in:
        if alter != in_force:
            memory.doubts[place] = alter
        return None
    doubt = memory.doubts.pop(place, alter)
    if alter != in_force or clash:
        memory.bar[place] = alter
        return Accidental(NAMES[alter])
    if doubt != alter:
        memory.bar[place] = alter
        return Accidental(NAMES[alter], courtesy=True)
    return None
