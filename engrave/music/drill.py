"""A drill: a sheet, and what the booklet and the manifest say of it.

The types alone. Nothing here knows families, files or paper.
"""

from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from engrave.music.notes import Finger, Hand, Pitch
from engrave.music.sheet import Meter, Sheet
from engrave.music.units import Quarters
from engrave.remarks import Remark

AS_WRITTEN = "as-written"
"""The family of what is played as it stands in the score: a passage's first drill."""


@dataclass(frozen=True, slots=True)
class Ladder:
    """Metronome marks from the starting mark to the goal.

    ``beat_unit`` in quarters; ``marks`` rise, each so many ``beat_unit`` a minute; ``reached`` is
    the highest that the student has played clean, None when none is. ``moved`` says why the unit
    is not the one that was asked for. ``days``, if any are known, are for each mark the first on
    which it or a higher one was played clean. ``noted`` is the mark that the teacher says was
    reached, and its day; the log may know a later one.
    """

    beat_unit: Quarters
    marks: tuple[int, ...]
    reached: int | None = None
    moved: Remark | None = None
    days: tuple[date | None, ...] = ()
    noted: tuple[int, date] | None = None

    @property
    def next(self) -> int | None:
        """The mark to play next, the first above what is reached; None when the goal is."""
        return next((mark for mark in self.marks if mark > (self.reached or 0)), None)


@dataclass(frozen=True, slots=True)
class SourceNote:
    """One onset of one hand in the score, as far as a drill plays it. Pitches low to high."""

    measure: str
    offset: Quarters
    hand: Hand
    pitches: tuple[Pitch, ...]
    fingers: tuple[Finger | None, ...]


@dataclass(frozen=True, slots=True)
class Sign:
    """A sign of the score at notes that a drill plays, and whether the drill prints it (``kept``).

    ``kind`` is an ornament's MusicXML name or one of ``drills.signs``. What is told one by one has
    its ``time`` in quarters from the start of the passage; ``count`` grace notes are one sign.
    """

    kind: str
    hand: Hand | None
    time: Quarters | None = None
    count: int = 1
    kept: bool = False


@dataclass(frozen=True, slots=True)
class LeapFigures:
    """A leap in figures: indices into the drill's source, the outer notes by which it is named.

    ``moved_from`` is the key where the finger that lands stood, or would have stood, and
    ``moved_to`` the key it lands on: the hand's displacement, in white keys and between centres.
    ``whole``: both ends are played with all of their notes. ``index_of_difficulty`` is
    log2(D/W + 1) in bits (Shannon form of Fitts's law, MacKenzie 1992).
    """

    start: int
    end: int
    start_pitch: Pitch
    end_pitch: Pitch
    moved_from: Pitch
    moved_to: Pitch
    distance_mm: float
    distance_keys: int
    index_of_difficulty: float
    flagged: bool = False
    whole: bool = True

    @property
    def landing_key(self) -> str:
        """``black`` or ``white``, of the outer note at its end."""
        return "black" if self.end_pitch.is_black else "white"

    @property
    def start_key(self) -> str:
        """``black`` or ``white``, of the outer note at its start."""
        return "black" if self.start_pitch.is_black else "white"


@dataclass(frozen=True, slots=True)
class BlockFigures:
    """A hand position in figures: the source indices it holds and the shift that leads to it."""

    source: tuple[int, ...]
    shift_mm: float
    shift_white_keys: int


@dataclass(frozen=True, slots=True)
class Drill:
    """One engraved exercise.

    ``source`` lists, in source order, the notes that the drill rewrites; ``written`` gives, for
    every onset of the drill in order (both hands together), the indices into ``source`` that it
    plays. ``octaves`` moves what is played away from the source. ``fingers`` are the ``source``'s
    or the drill's ``own``; ``pitches`` are the ``source``'s unless they are ``tapped`` or
    ``one-key`` a hand; ``stretch`` quarters of the sheet stand for one of the ladder's; ``beams``
    are those of the ``source`` or by the meter's ``beats``; ``pattern`` are relative lengths laid
    over the source's runs; ``complete``: nothing that either hand strikes meanwhile is left out.
    ``label`` is its name in the words of its family where the variant's would say too much.
    ``worth``: 0 stays longest where there is no room, and drills of one family and worth go
    together. ``remarks`` are sentences beside the music, ``left_out`` names what the drill dropped:
    notes, and of ``signs`` those that are not kept.
    """

    passage: str
    family: str
    variant: str
    hands: tuple[Hand, ...]
    sheet: Sheet
    ladder: Ladder
    source: tuple[SourceNote, ...]
    written: tuple[tuple[int, ...], ...]
    suffix: Hand | None = None
    octaves: int = 0
    fingers: str = "source"
    beams: str = "source"
    pitches: str = "source"
    stretch: Quarters = Fraction(1)
    pattern: tuple[int, ...] = ()
    complete: bool = False
    label: str = ""
    worth: int = 0
    remarks: tuple[Remark, ...] = ()
    left_out: tuple[Remark, ...] = ()
    signs: tuple[Sign, ...] = ()
    leaps: tuple[LeapFigures, ...] = ()
    blocks: tuple[BlockFigures, ...] = ()

    @property
    def is_as_written(self) -> bool:
        """Whether it is the passage as it stands in the score."""
        return self.family == AS_WRITTEN

    @property
    def id(self) -> str:
        """``PASSAGE.FAMILY.VARIANT``, and the hand where the passage is for both."""
        return ".".join(filter(None, (self.passage, self.family, self.variant, self.suffix)))

    @property
    def called(self) -> str:
        """The key of its name among those of its family's variants."""
        return self.label or self.variant

    @property
    def hand(self) -> str:
        """``right``, ``left`` or ``both``."""
        return self.hands[0] if len(self.hands) == 1 else "both"

    @property
    def sounding_ladder(self) -> Ladder:
        """The ladder in the quarters of the sheet, for those who play what stands there."""
        return replace(self.ladder, beat_unit=self.ladder.beat_unit * self.stretch)

    @property
    def meter(self) -> Meter:
        """The meter of the drill's first bar."""
        return self.sheet.bars[0].meter
