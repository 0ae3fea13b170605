"""Books to print: drills of an invented piece, their staves drawn by hand, not engraved."""

from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from engrave.booklet import Book, DrillPage, PassagePages
from engrave.errors import Source
from engrave.fingering.keyboard import WHITE_MM
from engrave.music.drill import Drill, Ladder, LeapFigures, SourceNote
from engrave.music.notes import Hand, Pitch, Value
from engrave.music.ranges import parse_range
from engrave.music.sheet import (
    BASS,
    TREBLE,
    Bar,
    ClefChange,
    Event,
    KeySignature,
    Meter,
    Sheet,
    Tone,
)
from engrave.music.tempo import Goal, ladder
from engrave.passage.model import Passage
from engrave.remarks import Remark

STAFF_MM = 7.0


@dataclass(frozen=True)
class Drawing:
    """Staves as an engraver would deliver them: a size on paper and SVG of that size."""

    svg: bytes
    width_mm: float
    height_mm: float
    staff_tops_mm: tuple[float, ...] = (0.6 * STAFF_MM,)


def drawing(width_mm: float = 168, staves: int = 1, staff_mm: float = STAFF_MM) -> Drawing:
    """A system of ``staves``: five lines each, bar lines, a few note heads."""
    height = staves * 2.2 * staff_mm
    parts = "".join(_staff(width_mm, staff_mm * (0.6 + 2.2 * n), staff_mm) for n in range(staves))
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width_mm}mm" height="{height}mm" '
        f'viewBox="0 0 {width_mm} {height}">{parts}</svg>'
    )
    return Drawing(
        svg.encode(), width_mm, height, tuple(staff_mm * (0.6 + 2.2 * n) for n in range(staves))
    )


def _staff(width_mm: float, top: float, staff_mm: float) -> str:
    lines = "".join(f"M0 {top + n * staff_mm / 4}H{width_mm}" for n in range(5))
    bars = "".join(f"M{x} {top}v{staff_mm}" for x in (0.1, width_mm / 2, width_mm - 0.1))
    heads = "".join(
        f'<circle cx="{n * width_mm / 12}" cy="{top + (n * 5 % 8) * staff_mm / 8}" r="1"/>'
        for n in range(1, 12)
    )
    return f'<path d="{lines}{bars}" stroke="#000" stroke-width=".2"/>{heads}'


def sheet(first: int, last: int) -> Sheet:
    """Plain bars of one quarter note each, named as in the score."""
    tone = Tone(Pitch("G", 0, 4))
    clefs = (ClefChange(Fraction(0), 1, TREBLE), ClefChange(Fraction(0), 2, BASS))
    event = Event(Fraction(0), Fraction(2), Value("half"), (tone,))
    return Sheet(
        tuple(
            Bar(str(name), Fraction(2), Meter(2, 4), KeySignature(2), (event,), clefs)
            for name in range(first, last + 1)
        )
    )


def drill(
    passage: str,
    family: str,
    variant: str,
    hands: tuple[Hand, ...] = (Hand.RIGHT,),
    marks: Ladder | None = None,
    **values: object,
) -> Drill:
    """A drill of twenty-four notes whose music is only a name here."""
    note = SourceNote("41", Fraction(0), hands[0], (Pitch("G", 0, 4),), (None,))
    return Drill(
        passage=passage,
        family=family,
        variant=variant,
        hands=hands,
        sheet=sheet(41, 44),
        ladder=marks or ladder(Goal(Fraction(1), Fraction(120), reached=Fraction(76))),
        source=(note,) * 24,
        written=tuple((n,) for n in range(24)),
        **values,  # type: ignore[arg-type]
    )


def passage(number: int, measures: str, **values: object) -> Passage:
    """A passage with its words."""
    defaults: dict[str, object] = {
        "id": f"passage-{number}",
        "source": Source("rondo.yaml", 10 * number, 5),
        "measures": parse_range(measures),
        "hands": (Hand.RIGHT,),
        "sheet": sheet(41, 44),
        "lines": {},
        "goal": Goal(Fraction(1), Fraction(120)),
        "stretch_mm": {Hand.RIGHT: 205.0, Hand.LEFT: 205.0},
        "trouble": "Thumb passes fall between the beats, so the run limps at the turn.",
        "number": number,
    }
    return Passage(**(defaults | values))  # type: ignore[arg-type]


FAMILIES: dict[str, tuple[str, ...]] = {
    "rhythms": ("long-short", "short-long", "short-short-long", "long-short-short", "in-threes"),
    "blocks": ("step-1", "step-2"),
}


def passage_pages(
    number: int,
    measures: str = "41-44",
    families: dict[str, tuple[str, ...]] = FAMILIES,
    width_mm: float = 168,
    systems: int = 1,
    **values: object,
) -> PassagePages:
    """A passage with its drills, ``systems`` lines of music each."""
    marked = passage(number, measures, **values)
    music = (drawing(width_mm),) * systems
    written = drill(
        marked.id, "as-written", "whole", marked.hands, remarks=(Remark.of("voices.whole"),)
    )
    return PassagePages(
        marked,
        DrillPage(written, (drawing(width_mm, staves=2),)),
        tuple(
            DrillPage(drill(marked.id, family, variant, marked.hands), music)
            for family, variants in families.items()
            for variant in variants
        ),
    )


MANY_MARKS = tuple(range(60, 208, 4))
"""A ladder of one mark at a time: its row is as wide as the page, and there are several."""


def leap(start: str, end: str, keys: int, flagged: bool = False) -> LeapFigures:
    """A leap between white keys."""
    pitches = Pitch.parse(start), Pitch.parse(end)
    return LeapFigures(0, 1, *pitches, *pitches, keys * WHITE_MM, keys, 3.25, flagged)


LEAPS = (
    leap("C2", "E3", 9),
    leap("E3", "G2", 5),
    leap("G2", "E3", 5),
    leap("C2", "A3", 12, flagged=True),
    leap("A3", "C2", 12),
)


def sample_passages(width_mm: float) -> tuple[PassagePages, ...]:
    """Wide music with a long ladder, and narrow music with all that can be said beside it."""
    wide = passage_pages(1, "41-44", width_mm=width_mm)
    marks = Ladder(Fraction(1), MANY_MARKS, reached=84)
    last = wide.drills[-1]
    long = replace(last, drill=replace(last.drill, ladder=marks))
    narrow = passage_pages(
        2, "81-84", width_mm=width_mm / 2, remarks="Sing it first.", private="Ask about the wrist."
    )
    drills = tuple(
        replace(page, drill=replace(page.drill, remarks=REMARKS[:n], left_out=LEFT_OUT))
        for n, page in enumerate(narrow.drills)
    )
    leaps = drill("passage-2", "leaps", "step-1", leaps=LEAPS)
    return (
        replace(wide, drills=(*wide.drills[:-1], long)),
        replace(narrow, drills=(*drills, DrillPage(leaps, (drawing(width_mm / 2),)))),
    )


REMARKS = (
    Remark.of("rhythms.speed"),
    Remark.of("rhythms.cycle", count=12),
    *(Remark.of(f"blocks.{key}") for key in ("step-1", "step-2", "as-often", "as-fast")),
)
LEFT_OUT = (Remark.of("left-out.slurs"), Remark.of("left-out.graces", count=2))


def book(count: int = 0, width_mm: float = 168, **values: object) -> Book:
    """A rondo by nobody, with ``count`` passages, or with those of the sample."""
    plain = tuple(
        passage_pages(n, f"{40 * n + 1}-{40 * n + 4}", width_mm=width_mm)
        for n in range(1, count + 1)
    )
    defaults: dict[str, object] = {
        "title": "Rondo in D",
        "composer": "Ottilie Brandes",
        "movement": 3,
        "student": "Mira Holm",
        "teacher": "Anselm Ruge",
        "performance": date(2027, 3, 14),
        "rest_days": (6,),
        "passages": plain or sample_passages(width_mm),
    }
    return Book(**(defaults | values))  # type: ignore[arg-type]
