"""Where a range of measures lies in a score.

Enters: a score and a ``MeasureRange``. Leaves: its first moment and the one at which it ends.
Knows no notes. Every mistake names what there is instead.
"""

from collections.abc import Sequence
from difflib import get_close_matches

from engrave.errors import EngraveError
from engrave.music.ranges import MeasureRange
from engrave.music.sheet import Moment, Sheet
from engrave.music.tempo import beat_name
from engrave.music.units import Quarters
from engrave.score.measures import NAME, Measure, measures_of, moment_in, movements_of
from engrave.score.score import Score


def locate(score: Score, wanted: MeasureRange) -> tuple[Moment, Moment]:
    """The moment at which ``wanted`` begins and the moment at which it ends (exclusive).

    Beats are the meter's own, counted from the start of the measure, a pickup's too. The second
    moment lies in the bar that it ends, so that its bar is always one of the range's. Raises
    ``EngraveError`` for measures and beats that the score does not have, for a range that runs
    backwards, and for a name that several movements share.
    """
    sheet = score.sheet
    measures = measures_of(sheet)
    first = _measure(sheet, measures, wanted.first)
    last = _measure(sheet, measures, wanted.last)
    start = Quarters(0) if wanted.first_beat is None else _beat_start(first, wanted.first_beat)
    end = last.length
    if wanted.last_beat is not None:
        end = min(_beat_start(last, wanted.last_beat) + last.beat, last.length)
    moments = moment_in(sheet, first, start), moment_in(sheet, last, end, ends=True)
    if moments[0] >= moments[1]:
        raise EngraveError(f"{wanted} ends before it begins", hint=_turned(wanted))
    return moments


def missing_measures(names: Sequence[str], wanted: MeasureRange) -> EngraveError | None:
    """The error for a range that begins or ends in a measure that is not in ``names``."""
    lacking = next((name for name in (wanted.first, wanted.last) if name not in names), None)
    return None if lacking is None else _no_measure(names, lacking)


def _no_measure(names: Sequence[str], name: str) -> EngraveError:
    return EngraveError(f"there is no measure {name}", hint=_what_there_is(names, name))


def _measure(sheet: Sheet, measures: tuple[Measure, ...], name: str) -> Measure:
    named = [measure for measure in measures if measure.name == name]
    if len(named) == 1:
        return named[0]
    if not named:
        raise _no_measure([measure.name for measure in measures], name)
    movements = movements_of(sheet)
    homes = [i for i, bars in enumerate(movements, 1) for m in named if m.bars[0] in bars]
    if len(homes) == len(set(homes)):
        listed = " and ".join(str(home) for home in homes)
        example = f"piece: {{movement: {homes[0]}}}"
        hint = f"movements {listed} have one each: name the movement, as in {example}"
    else:
        hint = "the score prints that number more than once: begin or end the range beside it"
    raise EngraveError(f"measure {name} stands in the score {len(named)} times", hint=hint)


def _what_there_is(names: Sequence[str], name: str) -> str:
    asked = NAME.fullmatch(name)
    number = asked[1] if asked else name
    family = [other for other in names if other.rstrip("abcdefghijklmnopqrstuvwxyz") == number]
    near = family or get_close_matches(name, names, n=3, cutoff=0.5)
    last = f"the last measure is {names[-1]}"
    numbers = [int(match[1]) for other in names if (match := NAME.fullmatch(other))]
    outside = asked and numbers and not min(numbers) <= int(number) <= max(numbers)
    if outside or not near:
        return f"{last}, the first {names[0]}"
    return f"nearest: {', '.join(near)}; {last}"


def _beat_start(measure: Measure, beat: Quarters) -> Quarters:
    if beat > measure.beats:
        raise EngraveError(
            f"measure {measure.name} has no beat {beat}",
            hint=f"its beats are 1 to {measure.beats}, each a {beat_name(measure.beat)}"
            if measure.beats > 1
            else f"it has one beat, a {beat_name(measure.beat)}",
        )
    return (beat - 1) * measure.beat


def _turned(wanted: MeasureRange) -> str:
    turned = MeasureRange(wanted.last, wanted.last_beat, wanted.first, wanted.first_beat)
    return f"{turned}?"
