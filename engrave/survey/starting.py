"""From a score to its first marks file.

Enters: a score read twice and what is wanted. Leaves: the text of a marks file, or a file that was
not there before.
"""

from collections import Counter
from collections.abc import Collection, Mapping
from dataclasses import replace
from math import sqrt
from pathlib import Path

from engrave.drills import chain, hands_apart, staccato
from engrave.errors import EngraveError
from engrave.machine.saving import Changed, save
from engrave.music.notes import Hand
from engrave.music.tempo import Goal
from engrave.score import Score, movements_of
from engrave.score.building.fullness import misfilled
from engrave.score.second_reading.twice import TwiceRead
from engrave.survey.answers import answer
from engrave.survey.beginning import ScoreFile
from engrave.survey.findings import KINDS, telling
from engrave.survey.gestures import shared
from engrave.survey.model import Side, Spot, Survey
from engrave.survey.new_marks import marks_text
from engrave.survey.spots import FEWEST, Wanted
from engrave.survey.surveying import survey

HARD, HARD_ALONE = 0.5, 0.75
"""The share of the hardest place's height below which another is no trouble; and where no drill
but the chain takes it apart."""

NO_TROUBLE = 40.0
"""The height up to which such a place is no trouble either, in the easiest piece: a slow line, say,
of which one chain is enough (judged over pages)."""

AGAIN = 0.75
"""What the height of a second place with the same trouble counts, and of a third again: a teacher
marks each trouble."""

AKIN, AKIN_COUNTS = 0.7, 0.5
"""The part of what the hand in trouble does that a chosen place has too, from which another
teaches it again, if on other keys; and what the height of such a place counts."""

_Trouble = tuple[tuple[Hand, ...], str]
"""Whose trouble it is and of what kind."""

FEWEST_STROKES = 6
"""What is struck in a passage, and at how many moments in one that no drill takes apart: less
teaches nothing that the whole piece does not, and is marked only where there is nothing else."""

MOST_NAMED = 8
"""Measures that are not sure, where nothing else is left."""

PLAIN = tuple((each.FAMILY.name,) for each in (chain, hands_apart, staccato))
"""The drills of a place that no drill takes apart: one of the families that step in."""

PLAIN_COUNTS = 0.75
"""What the height of such a place counts."""


def score_file(score: Path, marks: Path, part: str = "", movement: int | None = None) -> ScoreFile:
    """How a marks file names its score; raises ``EngraveError`` for one not below its folder."""
    folder = marks.resolve().parent
    if not score.resolve().is_relative_to(folder):
        raise EngraveError(
            f"{score} does not lie in the folder of {marks}",
            hint="a marks file stands beside its score",
        )
    path = score.resolve().relative_to(folder).as_posix()
    return ScoreFile(path, str(marks), part, movement)


def first_marks(
    twice: TwiceRead,
    file: ScoreFile,
    share: float,
    goal: Goal | None = None,
    stretch_mm: Mapping[Hand, float] | None = None,
    language: str = "en",
) -> str:
    """A marks file with the hardest ``share`` (0 to 1) of the measures, one passage at least.

    Raises ``EngraveError`` where no measure can be drilled, and for a score of several movements.
    """
    score = twice.score
    if len(movements_of(score.sheet)) > 1:
        raise EngraveError(
            f"{score.file} has several movements", hint="name one, as in --movement 1"
        )
    odd = _odd(twice)
    known = survey(score, goal, stretch_mm, Wanted(share=1.0, without=odd))
    chosen = _chosen(known, twice, share)
    if not chosen:
        raise _nothing_to_choose(score, odd)
    return marks_text(replace(known, spots=chosen), score, file, language)


def _odd(twice: TwiceRead) -> frozenset[int]:
    """Bars of which nobody can be sure: too full or too short, unread, or read in two ways."""
    odd = {bar for found in misfilled(twice.score.sheet) for each in found for bar in each.bars}
    odd |= {bar for bar, _why in twice.score.unread}
    return frozenset(odd | {each.bar for each in twice.differences})


def _nothing_to_choose(score: Score, odd: Collection[int]) -> EngraveError:
    if not odd:
        return EngraveError(
            f"no measures of {score.file} could be chosen",
            hint="mark passages by hand, as in passages: [{measures: 1-4}]",
        )
    names = list(dict.fromkeys(score.sheet.bars[bar].name for bar in sorted(odd)))
    shown = f"{', '.join(names[:MOST_NAMED])}{' …' if len(names) > MOST_NAMED else ''}"
    return EngraveError(
        f"no measures of {score.file} could be chosen beside those that are not sure: {shown}",
        hint="mend these in the score",
    )


def _chosen(known: Survey, twice: TwiceRead, share: float) -> tuple[Spot, ...]:
    """The spots to mark: the hardest of every trouble before more of the same.

    And before those for which there are ``PLAIN`` drills alone; of these one of few moments only
    where there is nothing else. About ``share`` of the measures, and ``FEWEST`` at least where so
    many are hard.
    """
    chosen: list[Spot] = []
    few: list[Spot] = []
    plain = dict[tuple[int, tuple[Hand, ...]], Spot]()
    left = share * len(known.terrain.cells)
    pool = [each for each in known.spots if each.strokes >= FEWEST_STROKES]
    while pool and (left > 0 or len(chosen) < FEWEST):
        told = Counter(_trouble(each) for each in chosen)
        weights = [
            _weight(each, told, _key(each) in plain, _is_akin(each, chosen)) for each in pool
        ]
        best = pool.pop(weights.index(max(weights)))
        if chosen and best.height < HARD * chosen[0].height:
            continue
        if len(chosen) >= FEWEST and best.beats / 2 > left:
            continue
        drilled = plain.get(_key(best)) or answer(best, known, twice.score, twice.differences)
        if drilled.drills in PLAIN:
            if best.moments < FEWEST_STROKES:
                few.append(drilled)
                continue
            if _key(best) not in plain:
                plain[_key(best)] = drilled
                pool.append(best)
                continue
            if chosen and best.height < max(HARD_ALONE * chosen[0].height, NO_TROUBLE):
                continue
        if drilled.drills:
            chosen.append(drilled)
            left -= best.beats
    return tuple(sorted(chosen or few[:1], key=lambda each: -each.height))


def _weight(spot: Spot, told: Counter[_Trouble], is_plain: bool, is_akin: bool) -> float:
    """How much a place is wanted beside those with the troubles that are ``told``."""
    again = told[_trouble(spot)]
    weight = spot.height * (PLAIN_COUNTS if is_plain else 1) * (AKIN_COUNTS if is_akin else 1)
    if told and not again:
        weight *= sqrt(spot.at_once)
    return weight * AGAIN**again


def _is_akin(spot: Spot, chosen: Collection[Spot]) -> bool:
    """Whether a chosen place has the same hand do mostly the same, with more trouble."""
    side = _side(spot)
    if side is None or side is Side.TOGETHER:
        return False
    return any(
        _side(each) is side and shared(each.gestures[side], spot.gestures[side]) >= AKIN
        for each in chosen
    )


def _side(spot: Spot) -> Side | None:
    """The side that has the heaviest part of the trouble."""
    return max(spot.parts, key=telling).side if spot.parts else None


def _key(spot: Spot) -> tuple[int, tuple[Hand, ...]]:
    """What no two spots have in common."""
    return spot.first, spot.hands


def _trouble(spot: Spot) -> _Trouble:
    """Whose trouble it is and of what kind."""
    heaviest = max(spot.parts, key=telling, default=None)
    return spot.hands, KINDS[heaviest.load] if heaviest else ""


def write_new(path: Path, text: str) -> None:
    """Write ``text`` to ``path``; raises ``EngraveError`` where there is a file already."""
    try:
        content = text.encode("utf-8")
    except UnicodeEncodeError:
        hint = "give the score a name in letters that every system can write"
        raise EngraveError(f"the name of the score is no text: {path.name!r}", hint=hint) from None
    if path.is_symlink():
        raise already_there(path)
    try:
        save(path, content, None)
    except Changed:
        raise already_there(path) from None


def already_there(path: Path) -> EngraveError:
    """The error for a marks file that exists: what a teacher wrote is never written over."""
    return EngraveError(f"{path} is there already", hint="name another with --out, or move it away")
