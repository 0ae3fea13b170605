"""The names of measures as they are printed.

Enters: the numbers that a file gives its measures. Leaves: a name for each, the same one for the
parts of a measure that a repeat sign splits. Knows nothing else of the bars.
"""

from collections.abc import Sequence

from engrave.score.measures import NAME


def printed_names(numbers: Sequence[str]) -> list[str]:
    """A name for each bar.

    Files number bars that print no number ``X1``, or ``0``, or not at all: such a bar goes on with
    the measure before it. A 0 that is followed by 1 is the pickup of a new movement. Bars of which
    none is numbered are counted from 1.
    """
    if all(number in ("", "0") for number in numbers) and len(numbers) > 1:
        return [str(index) for index in range(1, len(numbers) + 1)]
    names: list[str] = []
    for index, number in enumerate(numbers):
        names.append(number if _is_printed(numbers, index) else names[-1] if names else "0")
    return names


def _is_printed(numbers: Sequence[str], index: int) -> bool:
    if not numbers[index][:1].isdecimal():
        return False
    if index == 0 or numbers[index] != "0":
        return True
    following = NAME.match(next(filter(None, numbers[index + 1 :]), ""))
    return following is not None and int(following[1]) <= 1
