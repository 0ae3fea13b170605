"""The music as this tool sees it: frozen values over exact fractions, and nothing that acts.

A ``Sheet`` is music that can be engraved: bars with what is printed in them. The score that was
read is a sheet, a passage cut from it is a sheet, and every drill is a sheet. Nothing here knows
files, libraries, fingers or paper.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from engrave.music.notes import Finger, Hand, Pitch, Value
from engrave.music.units import Quarters

VOICES_PER_STAFF = 4
"""Voice numbers that are at home on a staff: 1 to 4 on the first, 5 to 8 on the second."""


def first_voice(staff: int) -> int:
    """The first voice number of a staff."""
    return 1 + VOICES_PER_STAFF * (staff - 1)


def home_staff(voice: int) -> int:
    """The staff on which a voice is at home, where most of its notes stand."""
    return 1 + (voice - 1) // VOICES_PER_STAFF


@dataclass(frozen=True, slots=True)
class Tone:
    """One key of a printed note or chord; ``tie_in`` from before it, ``tie_out`` to after it."""

    pitch: Pitch
    finger: Finger | None = None
    tie_in: bool = False
    tie_out: bool = False


@dataclass(frozen=True, slots=True)
class Event:
    """A printed note, chord or rest of one voice.

    ``offset`` and ``length`` in quarters, the offset from the start of its bar; a grace note has
    length 0 and stands before the event at its offset. ``tones`` low to high, none for a rest.
    ``hand`` plays it and ``staff`` (1 the upper) is where it is printed; neither says anything of
    the other. ``voice`` is the line in which it is printed, ``VOICES_PER_STAFF`` numbers to a
    staff, and says nothing of the hand either. An event that is ``joined`` is more of the chord
    that another of its voice prints there on the same stem, for the other hand or on another
    staff. ``articulations`` and ``ornaments`` are MusicXML 4.0 element names. ``tremolo``
    is ``3`` for as many strokes through the stem, ``start-3`` and ``stop-3``
    between two notes; ``trill_line`` is ``start`` or ``stop``. ``beams`` are the source's own,
    level by level (``begin``, ``continue``, ``end``, ``forward hook``, ``backward hook``); None
    lets notation beam by the meter's beats.
    ``label`` is printed above (the original measure number); ``source`` are the indices into the
    drill's source that the event plays. ``silent`` hides a rest that only fills its voice.
    """

    offset: Quarters
    length: Quarters
    value: Value
    tones: tuple[Tone, ...] = ()
    hand: Hand = Hand.RIGHT
    staff: int = 1
    voice: int = 1
    grace: bool = False
    grace_slash: bool = False
    articulations: tuple[str, ...] = ()
    ornaments: tuple[str, ...] = ()
    tremolo: str | None = None
    trill_line: str | None = None
    fermata: bool = False
    arpeggio: bool = False
    whole_bar: bool = False
    silent: bool = False
    stem: str | None = None
    beams: tuple[str, ...] | None = None
    label: str | None = None
    source: tuple[int, ...] = ()
    joined: bool = False

    @property
    def end(self) -> Quarters:
        """Where the event ends, in quarters from the start of its bar."""
        return self.offset + self.length

    @property
    def is_rest(self) -> bool:
        """Whether nothing is played."""
        return not self.tones

    @property
    def is_struck(self) -> bool:
        """Whether at least one key goes down here (not a rest, not only held over)."""
        return any(not tone.tie_in for tone in self.tones)


def are_twins(one: Event, other: Event) -> bool:
    """Whether the two are one chord on one stem."""
    return (
        one.voice == other.voice
        and one.offset == other.offset
        and one.length == other.length
        and one.grace is other.grace
        and (one.joined or other.joined)
    )


def without_twins(events: Iterable[Event]) -> list[Event]:
    """The events, of each chord that is divided only the first."""
    seen: set[tuple[int, Quarters, Quarters]] = set()
    result = []
    for event in events:
        chord = event.voice, event.offset, event.length
        if not (event.joined and chord in seen):
            result.append(event)
        if event.tones and not event.grace:
            seen.add(chord)
    return result


@dataclass(frozen=True, slots=True)
class Meter:
    """A time signature: ``beats`` over ``beat_type`` (3 over 8)."""

    beats: int
    beat_type: int
    symbol: str | None = None

    @property
    def length(self) -> Quarters:
        """The full bar in quarters."""
        return Fraction(4 * self.beats, self.beat_type)

    @property
    def beat(self) -> Quarters:
        """The meter's own beat in quarters: 1 in 2/4, 3/2 in 6/8, 1/2 in 3/8."""
        unit = Fraction(4, self.beat_type)
        return 3 * unit if self.beats > 3 and self.beats % 3 == 0 and self.beat_type >= 8 else unit

    def __str__(self) -> str:
        """``6/8``."""
        return f"{self.beats}/{self.beat_type}"


@dataclass(frozen=True, slots=True)
class KeySignature:
    """A key signature: sharps positive, flats negative."""

    fifths: int
    mode: str | None = None

    def alter_of(self, step: str) -> int:
        """What the signature does to a letter, in semitones."""
        if self.fifths > 0:
            return 1 if step in "FCGDAEB"[: self.fifths] else 0
        return -1 if step in "BEADGCF"[: -self.fifths] else 0


@dataclass(frozen=True, slots=True)
class Clef:
    """A clef by its MusicXML sign and line; ``octaves`` for the small 8 above or below."""

    sign: str
    line: int
    octaves: int = 0


TREBLE = Clef("G", 2)
BASS = Clef("F", 4)


@dataclass(frozen=True, slots=True)
class ClefChange:
    """A clef that takes force at ``offset`` quarters into its bar, on one staff."""

    offset: Quarters
    staff: int
    clef: Clef


@dataclass(frozen=True, slots=True)
class Direction:
    """A word or sign of a staff at ``offset`` quarters into its bar.

    ``kind``: ``dynamic`` (text is the MusicXML element name, ``mf``), ``words``, ``rehearsal``,
    ``segno``, ``coda``, ``metronome`` (``beat_unit`` in quarters, ``per_minute``). Placement
    ``above`` or ``below``.
    """

    offset: Quarters
    staff: int
    kind: str
    text: str = ""
    placement: str = "above"
    beat_unit: Quarters | None = None
    per_minute: Fraction | None = None
    italic: bool = False


@dataclass(frozen=True, slots=True)
class Ending:
    """The bracket of a first or second ending, as far as this bar carries it."""

    number: str
    type: str
    """``start``, ``stop``, ``start-stop``, ``discontinue`` or ``inside``."""


@dataclass(frozen=True, slots=True)
class Bar:
    """One printed measure.

    ``name`` is the number printed in the score (``0`` pickup, ``12a``), ``length`` what it really
    holds in quarters, ``meter`` and ``key`` those in force. ``clefs`` at offset 0 take force at the
    bar line; those in force from before are not repeated, except in a sheet's first bar, which
    carries one for every staff. ``implicit``: not counted (pickup, edge of a cut, split bar).
    """

    name: str
    length: Quarters
    meter: Meter
    key: KeySignature
    events: tuple[Event, ...] = ()
    clefs: tuple[ClefChange, ...] = ()
    directions: tuple[Direction, ...] = ()
    implicit: bool = False
    meter_shown: bool = True
    repeat_start: bool = False
    repeat_end: bool = False
    ending: Ending | None = None
    barline: str | None = None
    """The right bar line's MusicXML ``bar-style`` where it is not a plain one."""
    system_break: bool = False
    """Begin a new system with this bar, unless all of the music fits in one."""

    @property
    def is_full(self) -> bool:
        """Whether the bar holds exactly what its meter asks."""
        return self.length == self.meter.length

    @property
    def missing(self) -> Quarters:
        """What the bar lacks of its meter, in quarters; 0 where it is full or too full."""
        return max(self.meter.length - self.length, Fraction(0))

    @property
    def lead(self) -> Quarters:
        """How far into a full bar it begins: one that is not counted is the end of one."""
        return self.missing if self.implicit else Fraction(0)

    def of(self, hand: Hand) -> tuple[Event, ...]:
        """The events that ``hand`` plays."""
        return tuple(event for event in self.events if event.hand is hand)


@dataclass(frozen=True, slots=True, order=True)
class Moment:
    """A place in a sheet: index of the bar (from 0) and offset in quarters from its start."""

    bar: int
    offset: Quarters


@dataclass(frozen=True, slots=True)
class Span:
    """A sign that reaches from one moment to another.

    ``kind``: ``slur`` (from the event of ``voice`` at ``start`` to that of ``end_voice`` at
    ``end``), ``crescendo``, ``diminuendo``, ``pedal``, ``octave-up`` (8va: sounds higher than
    printed), ``octave-down``. ``end`` of the others is the moment at which they cease.
    ``from_grace``: a slur that begins on the first grace note at ``start``, not on its main note.
    """

    kind: str
    start: Moment
    end: Moment
    staff: int = 1
    voice: int = 1
    end_voice: int = 1
    placement: str | None = None
    size: int = 8
    from_grace: bool = False


@dataclass(frozen=True, slots=True)
class Sheet:
    """Music that can be engraved: bars, the signs that reach across them, the staves printed."""

    bars: tuple[Bar, ...]
    spans: tuple[Span, ...] = ()
    staves: tuple[int, ...] = (1, 2)

    @property
    def length(self) -> Quarters:
        """Length of the whole in quarters."""
        return sum((bar.length for bar in self.bars), Fraction(0))

    @property
    def starts(self) -> tuple[Quarters, ...]:
        """Where each bar starts, in quarters from the start of the sheet."""
        starts, now = [], Fraction(0)
        for bar in self.bars:
            starts.append(now)
            now += bar.length
        return tuple(starts)

    def time_of(self, moment: Moment) -> Quarters:
        """A place's time from the start of the sheet."""
        return self.starts[moment.bar] + moment.offset

    def timed(self) -> Iterator[tuple[Quarters, int, Event]]:
        """Every event with its time from the start of the sheet and the index of its bar."""
        for index, (start, bar) in enumerate(zip(self.starts, self.bars, strict=True)):
            for event in bar.events:
                yield start + event.offset, index, event
