"""Notes of one voice that sound at once become voices of their own.

Enters: raw bars. Leaves: the same bars, in which no voice of a staff has two things at a time. Some
programs write all of a staff as one voice, or none. A rest under notes of its own voice says
nothing, and goes.
"""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

from engrave.music.units import Quarters
from engrave.score.building.durations import exact_length
from engrave.score.formats.raw import RawItem, RawPart


def separate(part: RawPart) -> None:
    """Give what overlaps in a voice voices of its own, and count the rests that went as lost."""
    for bar in part.bars:
        voices: dict[tuple[str, int], list[RawItem]] = defaultdict(list)
        for item in bar.items:
            voices[item.voice, item.staff].append(item)
        gone = [rest for items in voices.values() for rest in _laid(items, bar.lost)]
        if gone:
            bar.items = [item for item in bar.items if not any(item is rest for rest in gone)]


@dataclass(slots=True)
class _Layer:
    """What sounds one after the other: the spans that are taken, and the last end of one."""

    taken: list[tuple[Quarters, Quarters]] = field(default_factory=list)
    end: Quarters = field(default_factory=Quarters)

    def has_room(self, start: Quarters, end: Quarters) -> bool:
        """Whether nothing sounds from ``start`` to ``end``."""
        if start >= self.end:
            return True
        return not any(low < end and start < high for low, high in self.taken)

    def take(self, start: Quarters, end: Quarters) -> None:
        """Let something sound from ``start`` to ``end``."""
        self.taken.append((start, end))
        self.end = max(self.end, end)


def _laid(items: Sequence[RawItem], lost: Counter[str]) -> list[RawItem]:
    """Lay the items of one voice into as few layers as they need; returns the rests that go."""
    layers = [_Layer()]
    graces: list[RawItem] = []
    gone = []
    for item in sorted(items, key=lambda item: item.element.isRest):
        if item.element.duration.isGrace:
            graces.append(item)
            continue
        start, end = item.offset, item.offset + exact_length(item.element.duration)
        free = next((n for n, layer in enumerate(layers) if layer.has_room(start, end)), None)
        if item.element.isRest and free != 0:
            gone.append(item)
            continue
        if free is None:
            free = len(layers)
            layers.append(_Layer())
        layers[free].take(start, end)
        for each in (*graces, item):
            each.voice += "'" * free
        graces = []
    if gone:
        lost["rests under notes of their own voice"] += len(gone)
    return gone
