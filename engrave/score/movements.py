"""One movement of a file that holds several.

Enters: a score, and the movement that was asked for. Leaves: the score of that movement, which
begins with its own measure numbers. Knows no files.
"""

from dataclasses import replace

from engrave.errors import EngraveError
from engrave.music.sheet import Moment
from engrave.music.units import Quarters
from engrave.score.cutting.cut import cut
from engrave.score.measures import movements_of
from engrave.score.score import Score, TempoMark
from engrave.score.titles import movement_number


class MovementError(EngraveError):
    """There is no such movement."""


def choose_movement(score: Score, movement: int | str) -> Score:
    """``score`` with the bars of ``movement`` alone, a number from 1 or a Roman one.

    A score whose measure numbers never begin anew is returned as it is, whatever its movement is
    called. Raises ``MovementError`` where there are several and this is none of them.
    """
    movements = movements_of(score.sheet)
    if len(movements) == 1:
        return score
    number = movement_number(movement)
    if number is None or not 1 <= number <= len(movements):
        names = [[score.sheet.bars[bar].name for bar in (bars[0], bars[-1])] for bars in movements]
        listed = ", ".join(
            f"{index} ({first}–{last})" for index, (first, last) in enumerate(names, start=1)
        )
        raise MovementError(
            f"{score.file} has no movement {movement}",
            hint=f"its movements and their measures: {listed}",
        )
    bars = movements[number - 1]
    start = Moment(bars.start, Quarters(0))
    end = Moment(bars.stop - 1, score.sheet.bars[bars.stop - 1].length)
    tempos = tuple(mark for mark in score.tempos if mark.moment.bar in bars)
    sheet = cut(replace(score, tempos=tempos), start, end)
    return replace(
        score,
        sheet=sheet,
        tempos=tuple(_moved(mark, bars.start) for mark in tempos),
        first_bar=bars.start,
        unread=tuple((bar - bars.start, why) for bar, why in score.unread if bar in bars),
    )


def _moved(mark: TempoMark, bars: int) -> TempoMark:
    return replace(mark, moment=Moment(mark.moment.bar - bars, mark.moment.offset))
