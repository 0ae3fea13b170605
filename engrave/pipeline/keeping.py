"""What is kept from build to build, and by what it is known.

Enters: marks, and the cache. Leaves: scores, drilled passages, notation and engravings, made or
found. A value is made from what its key names and from nothing else: a passage knows its own marks
without the words beside them, wherever in the file they stand, so that words and other passages may
change. Modules that only make what is found are not even loaded.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import fields, is_dataclass, replace
from fractions import Fraction
from typing import Any, TypeVar, cast

from engrave.engraver.style import Engraving, Style
from engrave.errors import EngraveError, Mistakes, Source
from engrave.machine.cache import Cache, key_of
from engrave.machine.raised import busy_with
from engrave.marks.model import MarkedTempo, Marks, PassageMark, Placed
from engrave.marks.placed import value_of
from engrave.music.notes import Hand
from engrave.music.sheet import Sheet
from engrave.pipeline.drilling import Drilled, all_drills
from engrave.score.held import hold
from engrave.score.score import Score
from engrave.score.second_reading.opinion import Difference

T = TypeVar("T")

_NOWHERE = Source("")


def read_score(
    marks: Marks, cache: Cache, meanwhile: Callable[[], None] | None = None
) -> tuple[Score, tuple[Difference, ...]]:
    """The score that ``marks`` name, and where two readers of its file differ.

    ``meanwhile``: what is to be done while another process reads; without it this one does. Raises
    ``EngraveError`` where they name it. What a reader says that was stopped is not kept.
    """
    part, movement = value_of(marks.part), marks.piece.movement

    try:
        held = hold(marks.score.value)
    except EngraveError as error:
        raise error.at(marks.score.source) from None

    def make() -> tuple[Score, tuple[Difference, ...], bool]:
        from engrave.score.formats.parts import PartError
        from engrave.score.movements import MovementError
        from engrave.score.second_reading.twice import read_twice

        try:
            twice = read_twice(held, part=part, movement=movement, meanwhile=meanwhile)
        except PartError as error:
            raise error.at((marks.part or marks.score).source) from None
        except MovementError as error:
            raise error.at(marks.piece.movement_source or marks.score.source) from None
        except EngraveError as error:
            raise error.at(marks.score.source) from None
        return twice.score, twice.differences, twice.heard_out

    key = key_of("score", held.sha256, held.name, part, movement)
    score, differences, _ = cache.made(key, make, is_lasting=lambda read: read[2])
    return score, differences


def drill_passage(mark: PassageMark, marks: Marks, score: Score, cache: Cache) -> Drilled:
    """The passage with its drills; raises ``Mistakes``."""
    wordless, stretch_mm = _wordless(mark), marks.student.stretch_mm

    def make() -> Drilled:
        from engrave.passage.assembly import assemble

        try:
            passage = assemble(wordless, score, stretch_mm)
        except Mistakes as mistakes:
            more = _further(wordless, score, stretch_mm)
            raise Mistakes([*mistakes.errors, *more]) from mistakes
        return _as_marked(all_drills(passage), unplaced(wordless))

    with busy_with(mark.source):
        return _as_marked(cache.made(_drills_key(mark, marks, score), make), mark)


def has_drills(mark: PassageMark, marks: Marks, score: Score, cache: Cache) -> bool:
    """Whether the passage was drilled before, and that was kept."""
    return cache.is_on and cache.has(_drills_key(mark, marks, score))


def _drills_key(mark: PassageMark, marks: Marks, score: Score) -> str:
    return key_of("drills", *music_of(marks, score), unplaced(_wordless(mark)))


def music_of(marks: Marks, score: Score) -> tuple[object, ...]:
    """Which music it is, whose hands play it, how far they reach: all but what passages say."""
    return (
        *(score.sha256, score.file, score.part, marks.piece.movement),
        unplaced(marks.all_hand_marks),
        tuple(sorted(marks.student.stretch_mm.items())),
    )


def _further(
    mark: PassageMark, score: Score, stretch_mm: Mapping[Hand, float]
) -> tuple[EngraveError, ...]:
    """What is wrong with the drills of a passage that has other mistakes, in its fingers or tempo.

    They are drilled as if nothing were said of either.
    """
    from engrave.passage.assembly import assemble

    requests = mark.drills and tuple(
        replace(each, options=each.options.without_ladder()) for each in mark.drills
    )
    goal = MarkedTempo(goal=Placed(Fraction(96), mark.source))
    plain = replace(mark, fingering=(), tempo=goal, drills=requests)
    try:
        all_drills(assemble(plain, score, stretch_mm))
    except Mistakes as mistakes:
        return mistakes.errors
    return ()


def notate(
    sheets: Mapping[str, tuple[Sheet, str]], composer: str, cache: Cache
) -> Mapping[str, bytes]:
    """The MusicXML of every sheet under its title, by the names that the sheets have here."""

    def make() -> dict[str, bytes]:
        from engrave.notation import musicxml

        return {
            name: musicxml(sheet, title=title, composer=composer)
            for name, (sheet, title) in sheets.items()
        }

    return cache.made(key_of("notation", sheets, composer), make)


def engrave_sheet(sheet: Sheet, style: Style, cache: Cache) -> Engraving:
    """The sheet engraved; raises ``EngraveError``."""

    def make() -> Engraving:
        from engrave.engraver import engrave

        return engrave(sheet, style)

    return cache.made(_engraving_key(sheet, style), make)


def engraved_before(sheet: Sheet, style: Style, cache: Cache) -> Engraving | None:
    """The sheet engraved, where that was kept."""
    engraving: Engraving | None = cache.found(_engraving_key(sheet, style)) if cache.is_on else None
    return engraving


def _engraving_key(sheet: Sheet, style: Style) -> str:
    return key_of("engraving", sheet, style)


def _wordless(mark: PassageMark) -> PassageMark:
    """What of a passage's mark can matter to its drills.

    Whose hands play is known of the whole score, not of the passage.
    """
    return replace(mark, trouble="", remarks="", private="", number=0, hand_marks=())


def _as_marked(drilled: Drilled, mark: PassageMark) -> Drilled:
    """The passage with the words and the number of ``mark``, and the places of all it says."""
    passage = replace(
        drilled.passage,
        source=mark.source,
        number=mark.number,
        requests=mark.drills,
        trouble=mark.trouble,
        remarks=mark.remarks,
        private=mark.private,
    )
    return replace(drilled, passage=passage, tempo=mark.tempo)


def unplaced(value: T) -> T:
    """``value`` as it would be, stood it anywhere else in its file."""
    found: Any = value
    if isinstance(value, Source):
        found = _NOWHERE
    elif isinstance(value, tuple):
        found = tuple(unplaced(each) for each in cast(Iterable[object], value))
    elif is_dataclass(value) and not isinstance(value, type):
        parts = {field.name: unplaced(getattr(value, field.name)) for field in fields(value)}
        found = replace(value, **parts)
    return cast(T, found)
