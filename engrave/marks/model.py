"""What the teacher marked, as frozen values that remember where in the file they were written.

Nothing here knows YAML, and nothing knows whether the score has such measures.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction
from pathlib import Path

from engrave.errors import Notice, Source
from engrave.marks.options import Options as Options
from engrave.marks.placed import Placed as Placed
from engrave.music.notes import STRETCH_MM, Hand, Pitch
from engrave.music.ranges import MeasureRange
from engrave.music.units import Quarters


@dataclass(frozen=True, slots=True)
class Piece:
    """What is played; an empty ``title`` or ``composer`` leaves it to the score.

    ``movement`` counts from 1 and is needed where measure numbers restart; ``title_source`` and
    ``movement_source`` are their places in the file.
    """

    title: str = ""
    composer: str = ""
    movement: int | None = None
    movement_source: Source | None = None
    title_source: Source | None = None


@dataclass(frozen=True, slots=True)
class Student:
    """Who practises (empty ``name``: nobody in particular), and how far each hand reaches."""

    name: str = ""
    stretch_mm: Mapping[Hand, float] = field(
        default_factory=lambda: dict.fromkeys(Hand, STRETCH_MM)
    )


@dataclass(frozen=True, slots=True)
class Practice:
    """How much the student practises; ``rest_days`` as ``date.weekday`` counts, Monday 0."""

    minutes_a_day: int | None = None
    rest_days: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class MarkedTempo:
    """What the marks say of the tempo; None leaves it to the score or to the default.

    ``goal``, ``start`` and ``reached`` are so many ``beat`` a minute; ``beat`` in quarters, None
    for the beat of the meter. ``step`` is how many marks of the metronome's scale to go up at once;
    ``reached_on`` the day on which that was, None for that of the lesson.
    """

    beat: Placed[Quarters] | None = None
    goal: Placed[Fraction] | None = None
    start: Placed[Fraction] | None = None
    step: Placed[int] | None = None
    reached: Placed[Fraction] | None = None
    reached_on: Placed[date] | None = None

    def over(self, base: "MarkedTempo") -> "MarkedTempo":
        """This tempo, with what it leaves open taken from ``base`` and told in this beat.

        What was reached is the passage's own.
        """
        factor = Fraction(1)
        if self.beat and base.beat:
            factor = base.beat.value / self.beat.value

        def told(mark: Placed[Fraction] | None) -> Placed[Fraction] | None:
            return mark and replace(mark, value=mark.value * factor)

        return MarkedTempo(
            beat=self.beat or base.beat,
            goal=self.goal or told(base.goal),
            start=self.start or told(base.start),
            step=self.step or base.step,
            reached=self.reached,
            reached_on=self.reached_on,
        )


EVERYTHING = "everything"
"""Stands for all families where a passage asks for whatever can be made of it."""


@dataclass(frozen=True, slots=True)
class DrillRequest:
    """A family that the teacher asks for (without ``source``: a default), with its options."""

    family: str
    options: Options = field(default_factory=Options)
    source: Source | None = None


@dataclass(frozen=True, slots=True)
class FingeringMark:
    """Fingers for ``hand``, an onset a word, from a place on.

    ``beat`` counts from 1 in the meter's own beat. ``words`` hold a finger (1 thumb to 5) for each
    key of the onset, low to high, None where it is left open; ``(None,)`` leaves a whole onset
    open, whatever its size. ``changes``, parallel to them, are the fingers that take a key over
    while it is down. ``source`` is where their own place is named, ``word_sources`` where the words
    stand.
    """

    hand: Hand
    measure: str
    beat: Fraction
    words: tuple[tuple[int | None, ...], ...]
    source: Source
    word_sources: tuple[Source, ...]
    changes: tuple[tuple[int | None, ...], ...]


@dataclass(frozen=True, slots=True)
class HandMark:
    """What is struck in ``measures`` at what is named is the ``hand``'s.

    Named is a ``staff`` (``upper``, ``lower``, or its number from the top), of it those with
    ``stems`` ``up`` or ``down`` where that is said, or a key by its ``pitch``, on whatever staff.
    ``in_passage``: it stands in a passage, not at the top of the file.
    """

    measures: Placed[MeasureRange]
    hand: Hand
    source: Source
    staff: str = ""
    stems: str | None = None
    pitch: Pitch | None = None
    in_passage: bool = False


@dataclass(frozen=True, slots=True)
class PassageMark:
    """A passage as marked: where, for which hands, what the trouble is and what to do about it.

    ``id`` is safe as a file name and unique in the file. ``tempo`` already holds what the file says
    for all passages. ``drills`` None: what the passage contains decides. ``status`` is one of
    ``schema.STATUSES``; ``number`` names the passage in the booklet, and is unique too;
    ``hand_marks`` is what it says of the hands. ``trouble``, ``remarks`` and ``private`` are text,
    never markup. ``flawed`` are the keys whose values are not what the teacher wrote, in a file
    with mistakes.
    """

    id: str
    source: Source
    measures: Placed[MeasureRange]
    hands: tuple[Hand, ...] = (Hand.RIGHT, Hand.LEFT)
    trouble: str = ""
    drills: tuple[DrillRequest, ...] | None = None
    fingering: tuple[FingeringMark, ...] = ()
    tempo: MarkedTempo = MarkedTempo()
    status: str = "learning"
    number: int = 0
    hand_marks: tuple[HandMark, ...] = ()
    remarks: str = ""
    private: str = ""
    flawed: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Marks:
    """A whole marks file.

    ``file`` is the marks file and ``score`` the score beside it, both as seen from the working
    directory. ``staff_mm`` None leaves the staff height to the edition; ``pages`` is
    how many the booklet may have at most; ``paper`` and ``language``
    are names of ``schema``; ``lesson`` is the day that the booklet is for, ``log`` the
    file that says what was practised, which need not be there yet; ``begin`` is the practice plan's
    first day, None for that of the lesson, or else four weeks before the ``performance``;
    ``show_student`` prints the student's name in the masterclass edition;
    ``sound`` asks for a MIDI file of every drill. ``flawed``: as a passage's, those at the top.
    """

    file: Path
    source: Source
    score: Placed[Path]
    passages: tuple[PassageMark, ...]
    part: Placed[str] | None = None
    piece: Piece = Piece()
    student: Student = field(default_factory=Student)
    teacher: str = ""
    performance: Placed[date] | None = None
    lesson: Placed[date] | None = None
    log: Placed[Path] | None = None
    begin: Placed[date] | None = None
    practice: Practice = Practice()
    tempo: MarkedTempo = MarkedTempo()
    hand_marks: tuple[HandMark, ...] = ()
    language: str = "en"
    paper: str = "a4"
    staff_mm: float | None = None
    pages: Placed[int] | None = None
    show_student: bool = False
    sound: bool = False
    notices: tuple[Notice, ...] = ()
    flawed: frozenset[str] = frozenset()

    @property
    def all_hand_marks(self) -> tuple[HandMark, ...]:
        """What the file and its passages say of the hands."""
        in_passages = (mark for passage in self.passages for mark in passage.hand_marks)
        return (*self.hand_marks, *in_passages)
