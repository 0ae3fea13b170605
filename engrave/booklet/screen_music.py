"""What the screen edition's script knows of a drill: its ladder, what is heard, where notes stand.

Enters: drills, and their engravings in each size. Leaves: JSON, and what the page shows as it is.
"""

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from engrave.booklet.signs import note_sign
from engrave.engraver import Picture, Style
from engrave.log.writing import beat_text
from engrave.machine.packed import Packed
from engrave.music.drill import Drill
from engrave.music.notes import Hand
from engrave.remarks import Remark
from engrave.sound import Head, Stress, Timeline, timeline, unplayed
from engrave.words import say

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Size:
    """Music for a kind of screen: ``from_px`` CSS pixels wide and wider, engraved in ``style``."""

    name: str
    from_px: int
    style: Style


SIZES = (
    Size("phone", 0, Style(5.0, 58.0, 1.0)),
    Size("upright", 640, Style(9.4, 150.0, 1.0)),
    Size("across", 1000, Style(9.4, 217.0, 1.0)),
)
"""As a tablet's 132 and a phone's 163 points to the inch show them true to size; on others music
is as much larger as the screen. The smallest text, the measure numbers, is 0.375 of a staff: 3.5 mm
on a tablet. Every system is a picture of its own."""

GIVEN = SIZES[1]
"""The size in which the page shows its music without scripts."""


Systems = Mapping[str, Sequence[Picture]]
"""A drill's systems, a picture each, by the name of the size."""


@dataclass(frozen=True, slots=True)
class OnScreen:
    """A drill on the screen: the ``values`` of the script as JSON, and the drawings in the size
    ``GIVEN``, both held packed; what of it is not played."""

    values: Packed
    given: tuple[Packed, ...]
    unplayed: tuple[Remark, ...]


def on_screen(drill: Drill, systems: Systems, language: str) -> OnScreen:
    """All that the screen edition shows of a drill's music."""
    values, ladder = drill_values(drill, systems), drill.ladder
    first, last = ladder.marks[0], ladder.marks[-1]
    name = Remark.of("tempo.boxes", unit=ladder.beat_unit, first=first, last=last)
    values["ladder"]["name"] = say(name, language)
    given = tuple(Packed.of(each.svg) for each in systems[GIVEN.name])
    return OnScreen(Packed.of(json_text(values).encode()), given, unplayed(drill.sheet))


def json_text(values: Json) -> str:
    """JSON that cannot end the element it stands in."""
    text = json.dumps(values, ensure_ascii=False, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


def drill_values(drill: Drill, systems: Systems) -> Json:
    """A drill as the script knows it, but for its words."""
    heard, heads = _timed(drill)
    return {
        "id": drill.id,
        "passage": drill.passage,
        "target": (f"passage {drill.passage}" if drill.is_as_written else f"drill {drill.id}"),
        "hand": drill.hand,
        "ladder": {
            "marks": list(drill.ladder.marks),
            "reached": drill.ladder.reached,
            "beat": beat_text(drill.ladder.beat_unit),
            "sign": f'<svg viewBox="0 0 30 48" aria-hidden="true">{_sign(drill)}</svg>',
        },
        "heard": _heard(heard, heads),
        "systems": {
            name: [[_mm(each.width_mm), _mm(each.height_mm)] for each in pictures]
            for name, pictures in systems.items()
        },
        "places": {name: _places(pictures, heads) for name, pictures in systems.items()},
        "pictures": {
            name: [picture(each.svg) for each in pictures]
            for name, pictures in systems.items()
            if name != GIVEN.name
        },
    }


def heard_values(drill: Drill) -> Json:
    """What is heard of a drill, as the script that plays it takes it."""
    return _heard(*_timed(drill))


def _timed(drill: Drill) -> tuple[Timeline, list[Head]]:
    heard = timeline(drill.sheet, drill.ladder, drill.ladder.marks[0])
    return heard, list(dict.fromkeys(head for each in heard.soundings for head in each.heads))


def picture(svg: bytes, label: str = "") -> str:
    """A picture as wide as what holds it."""
    from html import escape

    told = f'role="img" aria-label="{escape(label)}"' if label else 'role="img" aria-label="♪"'
    whole = svg.decode().strip().replace(' xmlns="http://www.w3.org/2000/svg"', "", 1)
    return re.sub(r'width="[\d.]+mm" height="[\d.]+mm"', f'width="100%" {told}', whole, count=1)


def _sign(drill: Drill) -> str:
    return note_sign(drill.ladder.beat_unit).replace('"#000"', '"currentColor"')


def _heard(heard: Timeline, heads: Sequence[Head]) -> Json:
    numbers = {head: number for number, head in enumerate(heads)}
    beats = [click.stress for click in heard.clicks if click.stress is not Stress.BETWEEN]
    return {
        "unit": float(heard.unit),
        "countIn": float(heard.count_in),
        "end": float(heard.end),
        "beats": "".join("B" if stress is Stress.BAR else "b" for stress in beats),
        "notes": [
            [
                round(float(each.start), 7),
                round(float(each.length), 7),
                each.key,
                int(each.hand is Hand.LEFT),
                each.loudness,
                [numbers[head] for head in each.heads],
            ]
            for each in heard.soundings
        ],
    }


def _places(pictures: Sequence[Picture], heads: Sequence[Head]) -> list[list[float]]:
    """Of every head the number of its system, and its box in it."""
    found = {
        Head(place.bar, place.event, place.tone): [
            system, *map(_mm, (place.left_mm, place.top_mm, place.right_mm, place.bottom_mm)),
        ]
        for system, picture in enumerate(pictures)
        for place in picture.notes
    }  # fmt: skip
    return [found[head] for head in heads]


def _mm(length: float) -> float:
    return round(length, 2)
