"""Where systems end: the bars of a sheet divided so that lines are neither squeezed nor torn apart.

Enters: natural widths of the bars and the width there is. Leaves: the bars that begin a system.
Dynamic programming over all divisions (as Knuth and Plass 1981 break
paragraphs).
"""

from dataclasses import dataclass

_SQUEEZED = 1.03
"""Notes may be set this much closer than their natural spacing."""

_LAST = 0.8
"""How much an empty end of the last line weighs, against a stretched line."""

_LONE = 0.3
"""How much it weighs to leave one bar to the last line."""


@dataclass(frozen=True, slots=True)
class Widths:
    """Natural widths: of each bar, and of clef and key signature, which every line repeats."""

    bars: tuple[float, ...]
    head: float

    def of(self, start: int, end: int) -> float:
        """Natural width of a line of the bars from ``start`` to before ``end``."""
        return sum(self.bars[start:end]) + self.head


def choose_breaks(widths: Widths, forced: frozenset[int], width: float) -> tuple[int, ...]:
    """The indices of the bars that begin a new system, the first bar left out.

    ``forced`` bars begin one in any case. A bar wider than the line gets a line to itself. Every
    line is stretched to the whole width but the very last, so what stands before a forced break is
    divided as evenly as it can be.
    """
    count = len(widths.bars)
    best: list[tuple[float, int]] = [(0.0, 0)]
    for end in range(1, count + 1):
        choices = []
        for start in range(end - 1, -1, -1):
            natural = widths.of(start, end)
            if natural > width * _SQUEEZED and start < end - 1:
                break
            last = end == count
            lone = _LONE if last and start == end - 1 and start not in forced else 0
            badness = _badness(natural / width, last=last) + lone
            choices.append((best[start][0] + badness, start))
            if start in forced:
                break
        best.append(min(choices))
    starts = []
    end = count
    while end:
        end = best[end][1]
        starts.append(end)
    return tuple(sorted(starts)[1:])


def _badness(fill: float, *, last: bool) -> float:
    if last:
        return _LAST * (1 - min(fill, 1)) ** 2
    return (1 / fill - 1) ** 2 if fill < 1 else (4 * (fill - 1)) ** 2
