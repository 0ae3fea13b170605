"""What a reader hands over, before it is music of ours: bars of music21 elements with their places.

Both readers (MusicXML and everything else) leave the same ``RawPart``; the modules that turn it
into a sheet know neither files nor formats.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from engrave.music.units import Quarters


@dataclass(slots=True)
class NoteSigns:
    """The signs that stand at one note, by their MusicXML 4.0 names, and as ``Event`` has them.

    ``fingers`` in the order of the file; a second finger of a substitution and an alternative one
    are not among them.
    """

    fingers: list[int] = field(default_factory=list)
    articulations: list[str] = field(default_factory=list)
    ornaments: list[str] = field(default_factory=list)
    tremolo: str | None = None
    trill_line: str | None = None
    fermata: bool = False
    arpeggio: bool = False
    cue: bool = False


@dataclass(slots=True)
class RawItem:
    """A music21 note, chord or rest: ``offset`` quarters into its bar, on ``staff``, in ``voice``.

    ``printed`` has one entry for a rest and one for each tone otherwise, in the element's order.
    ``staves`` are those of the tones, in the same order, where a chord stands on more than one.
    """

    element: Any
    offset: Quarters
    staff: int
    voice: str
    printed: tuple[NoteSigns, ...]
    staves: tuple[int, ...] = ()


@dataclass(slots=True)
class RawSign:
    """Any other music21 element of a bar: clef, key, meter, dynamic, words …"""

    element: Any
    offset: Quarters
    staff: int


@dataclass(slots=True)
class Edge:
    """One end of a slur, wedge, pedal or octave line, as the file gives it.

    ``group`` and ``number`` say which ends belong together, ``kind`` is the ``Span``'s. ``item`` is
    the note at which a slur's end stands; other ends have a place of their own.
    """

    group: str
    kind: str
    opens: bool
    number: str
    bar: int
    offset: Quarters
    staff: int
    item: RawItem | None = None
    placement: str | None = None
    size: int = 8


@dataclass(slots=True)
class RawEnding:
    """An end of an ending bracket: type ``start``, ``stop`` or ``discontinue``."""

    type: str
    number: str


@dataclass(slots=True)
class RawBar:
    """One measure: ``name`` as the file numbers it, ``implicit`` when it says it is not counted.

    ``reach`` is how far the file moves into the bar, in quarters, notes or not. ``unread`` says
    why nothing of it could be read; ``lost`` counts, by their plain names, signs that were not.
    """

    name: str
    implicit: bool = False
    items: list[RawItem] = field(default_factory=list)
    signs: list[RawSign] = field(default_factory=list)
    repeat_start: bool = False
    repeat_end: bool = False
    left_style: str | None = None
    right_style: str | None = None
    endings: list[RawEnding] = field(default_factory=list)
    reach: Quarters = field(default_factory=Quarters)
    unread: str | None = None
    lost: Counter[str] = field(default_factory=Counter)


@dataclass(slots=True)
class RawTempo:
    """A tempo that is not printed in the part itself: words, or beats a minute.

    ``offset`` quarters from the start of bar ``bar``, and beyond its end where that is needed.
    ``played``: it is there for playback alone.
    """

    bar: int
    offset: Quarters
    words: str = ""
    beat: Quarters = field(default_factory=lambda: Quarters(1))
    per_minute: Quarters | None = None
    played: bool = False


@dataclass(slots=True)
class RawPart:
    """The keyboard part."""

    bars: list[RawBar]
    edges: list[Edge] = field(default_factory=list)


@dataclass(slots=True)
class RawScore:
    """A file as it was read: the keyboard part, its name, and the names of all parts.

    ``staves`` are, for each of the part's staves, those of the file, counted from 1 from its top,
    that it is made of; ``tempos`` are those of other parts, of the header and of playback,
    ``headers`` the texts over the music; ``notes`` what the user should know of the format.
    """

    part: RawPart
    name: str
    names: tuple[str, ...]
    title: str
    composer: str
    staves: tuple[tuple[int, ...], ...]
    tempos: list[RawTempo] = field(default_factory=list)
    headers: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


def merged(parts: Sequence[RawPart], staves: Sequence[int] = ()) -> RawPart:
    """One part as it is; parts of one staff each become staves, from the top down.

    ``staves`` says which, where some share one.
    """
    if len(parts) == 1:
        return parts[0]
    for number, (staff, part) in enumerate(
        zip(staves or range(1, len(parts) + 1), parts, strict=True), start=1
    ):
        for edge in part.edges:
            edge.staff = staff
        for bar in part.bars:
            for item in bar.items:
                item.staff, item.voice = staff, f"{number}.{item.voice}"
            for sign in bar.signs:
                sign.staff = staff
    upper, *others = parts
    for lower in others:
        for bar, below in zip(upper.bars, lower.bars, strict=False):
            bar.items += below.items
            bar.signs += [s for s in below.signs if not _is_common(s)]
            bar.reach = max(bar.reach, below.reach)
            bar.unread = bar.unread or below.unread
            bar.lost += below.lost
        upper.edges += lower.edges
    return upper


def _is_common(sign: RawSign) -> bool:
    """Whether the sign holds for all staves and was read with the upper one."""
    return bool({"KeySignature", "TimeSignature", "TempoIndication"} & sign.element.classSet)
