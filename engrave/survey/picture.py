"""The terrain as a strip: a step a measure, the right hand up, the left hand down.

Enters: a ``Terrain``, a width, what is to be named. Leaves: SVG, in millimetres, of greys that stay
apart on any printer. Our own drawing; knows no pages.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape
from itertools import groupby

from engrave.music.notes import Hand
from engrave.music.units import Quarters
from engrave.remarks import Remark
from engrave.survey.model import Cell, Side, Survey, Terrain
from engrave.survey.naming import range_of
from engrave.words import say

HILL_MM = 13.0
"""Height of the highest measure."""
LEAST_FULL = 60.0
"""The least height that stands for ``HILL_MM``: an easy piece has low hills."""
SIDE_MM = 6.5
"""Room for brackets and names beyond the hills of either hand."""
SCALE_MM = 4.2
"""Room for the measures' numbers, between the hands."""
TEXT_MM = 3.0
TIGHT_MM = 4.0
"""Names closer than this stand on two levels."""

HARDEST = 3
"""How many measures of each hand are told to whoever cannot see the strip."""

_FILLS = {Side.RIGHT: "#4d4d4d", Side.LEFT: "#a6a6a6"}
_NUMBERS_MM = 11.0
"""The least distance of two measure numbers."""


@dataclass(frozen=True, slots=True)
class Named:
    """A place to name: from ``start`` to ``end`` in quarters from the start of the score."""

    name: str
    hands: tuple[Hand, ...]
    start: Quarters
    end: Quarters


@dataclass(frozen=True, slots=True)
class Strip:
    """The drawing, with its size on paper, and what it ``shows`` in sentences."""

    svg: bytes
    width_mm: float
    height_mm: float
    shows: tuple[Remark, ...]


@dataclass(frozen=True, slots=True)
class _Column:
    """A measure on paper: ``x`` its left edge; heights of the hands in millimetres."""

    name: str
    x: float
    end: float
    hills: dict[Side, float]


def terrain_svg(
    survey: Survey, width_mm: float, named: Sequence[Named] | None = None, language: str = "en"
) -> bytes:
    """The strip as SVG of that width; ``named`` places, else the survey's spots by rank."""
    places = spots_named(survey) if named is None else named
    return strip(survey.terrain, survey.title or survey.file, width_mm, places, language).svg


def strip(
    terrain: Terrain, title: str, width_mm: float, places: Sequence[Named], language: str = "en"
) -> Strip:
    """The strip with its size. A piece without measures is an empty strip, called by its title."""
    columns = _columns(terrain, width_mm)
    height = 2 * (HILL_MM + SIDE_MM) + SCALE_MM
    upper, lower = SIDE_MM + HILL_MM, SIDE_MM + HILL_MM + SCALE_MM
    shows = tuple(_shows(terrain, columns, places))
    told = " ".join(say(remark, language) for remark in shows) or title
    parts = [
        f"<title>{escape(told)}</title>",
        *_hill(columns, Side.RIGHT, upper, -1),
        *_hill(columns, Side.LEFT, lower, 1),
        *_numbers(columns, upper),
        *_brackets(terrain.cells, places, width_mm, height),
    ]
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(width_mm)}mm" height="{_n(height)}mm" '
        f'viewBox="0 0 {_n(width_mm)} {_n(height)}" font-family="Source Serif Pro, serif" '
        f'font-size="{_n(TEXT_MM)}">' + "".join(parts) + "</svg>\n"
    )
    return Strip(svg.encode(), width_mm, height, shows)


def spots_named(survey: Survey) -> tuple[Named, ...]:
    """The survey's spots by their rank."""
    cells = survey.terrain.cells
    return tuple(
        Named(str(rank), each.hands, cells[each.first].start, cells[each.last].end)
        for rank, each in enumerate(survey.spots, 1)
    )


def _shows(
    terrain: Terrain, columns: Sequence[_Column], places: Sequence[Named]
) -> Iterator[Remark]:
    """From where to where, the hardest measures of each hand in their order, what is marked."""
    if not columns:
        return
    yield Remark.of("survey.shows", first=columns[0].name, last=columns[-1].name)
    hands = []
    for side in columns[0].hills:
        hills = [(-column.hills[side], at) for at, column in enumerate(columns)]
        chosen = sorted(at for hill, at in sorted(hills)[:HARDEST] if hill)
        if names := [columns[at].name for at in chosen]:
            hands.append(
                Remark.of("survey.hardest-of", count=len(names), hand=side, measures=names)
            )
    if hands:
        yield Remark.of("survey.hardest", hands=hands)
    told = [
        Remark.of("survey.place", name=place.name, range=_label(terrain, place)) for place in places
    ]
    if told:
        yield Remark.of("survey.marked", places=told)


def _label(terrain: Terrain, place: Named) -> str:
    inside = [
        index
        for index, cell in enumerate(terrain.cells)
        if cell.start < place.end and cell.end > place.start
    ]
    return range_of(terrain.cells, inside[0], inside[-1]).label if inside else ""


def _columns(terrain: Terrain, width_mm: float) -> list[_Column]:
    """The measures, as wide as they are long, and no higher than the highest allows."""
    if not terrain.cells:
        return []
    scale = width_mm / float(terrain.cells[-1].end)
    hands = [side for side in (Side.RIGHT, Side.LEFT) if side in terrain.height]
    full = max(LEAST_FULL, *(max(terrain.height[side]) for side in hands))
    columns = []
    numbered = enumerate(terrain.cells)
    for (_, name), group in groupby(numbered, key=lambda item: _measure_of(terrain, item[0])):
        inside = list(group)
        columns.append(
            _Column(
                name,
                float(inside[0][1].start) * scale,
                float(inside[-1][1].end) * scale,
                {
                    side: max(terrain.height[side][i] for i, _ in inside) / full * HILL_MM
                    for side in hands
                },
            )
        )
    return columns


def _measure_of(terrain: Terrain, index: int) -> tuple[int, str]:
    """What tells measures apart: where the measure opens, and its name."""
    first = index
    while first > 0 and not terrain.cells[first].opens:
        first -= 1
    return first, terrain.cells[index].measure


def _hill(columns: Sequence[_Column], side: Side, base: float, up: int) -> Iterator[str]:
    if not columns or side not in columns[0].hills:
        return
    steps = "".join(f"V{_n(base + up * column.hills[side])}H{_n(column.end)}" for column in columns)
    yield f'<path d="M{_n(columns[0].x)} {_n(base)}{steps}V{_n(base)}z" fill="{_FILLS[side]}"/>'
    yield f'<path d="M0 {_n(base)}H{_n(columns[-1].end)}" stroke="#000" stroke-width=".15"/>'


def _numbers(columns: Sequence[_Column], base: float) -> Iterator[str]:
    """Numbers of measures between the hands: every fifth, tenth … as the room allows."""
    if not columns:
        return
    narrow = (columns[-1].end - columns[0].x) / len(columns)
    step = next(n for n in (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000) if n * narrow >= _NUMBERS_MM)
    last = -_NUMBERS_MM
    for column in columns:
        wanted = column.name.isdigit() and (int(column.name) % step == 0 or column.name == "1")
        if wanted and column.x - last >= _NUMBERS_MM * 0.6 and column.x + 5 <= columns[-1].end:
            last = column.x
            x, y = _n(column.x + 0.6), _n(base + 3.1)
            line = f"M{_n(column.x)} {_n(base)}v{_n(SCALE_MM)}"
            yield f'<path d="{line}" stroke="#000" stroke-width=".1"/>'
            yield f'<text x="{x}" y="{y}">{escape(column.name)}</text>'


def _brackets(
    cells: Sequence[Cell], places: Sequence[Named], width_mm: float, height: float
) -> Iterator[str]:
    if not cells:
        return
    scale = width_mm / float(cells[-1].end)
    for hand, edge, inward in ((Hand.RIGHT, 0.0, 1), (Hand.LEFT, height, -1)):
        taken = -TIGHT_MM
        is_far = False
        for place in sorted(places, key=lambda place: (place.start, place.end)):
            if hand not in place.hands:
                continue
            left, right = float(place.start) * scale, float(place.end) * scale
            middle = min(max((left + right) / 2, TEXT_MM / 3), width_mm - TEXT_MM / 3)
            is_far = middle - taken < TIGHT_MM and not is_far
            taken = middle
            line = edge + inward * (SIDE_MM - 0.7)
            text = edge + inward * (1.3 if is_far else SIDE_MM - 2.6)
            yield (
                f'<path d="M{_n(left + 0.15)} {_n(line + inward * 0.7)}v{_n(-inward * 0.7)}'
                f'H{_n(right - 0.15)}v{_n(inward * 0.7)}" fill="none" stroke="#000" '
                'stroke-width=".3"/>'
            )
            yield (
                f'<text x="{_n(middle)}" y="{_n(text + 1.05)}" text-anchor="middle" '
                f'font-weight="600">{escape(place.name)}</text>'
            )


def _n(number: float) -> str:
    """A length in millimetres, to the hundredth."""
    return f"{number:.2f}".rstrip("0").rstrip(".") or "0"
