"""A marked passage, and the ids of all of them.

Enters: an entry of ``passages:``, and what drill families take. Leaves: a ``PassageMark``. What the
score has in those measures it does not know.
"""

from collections.abc import Sequence
from dataclasses import replace

from engrave.errors import EngraveError
from engrave.marks import schema
from engrave.marks.fingering import fingering
from engrave.marks.hands import hand_marks
from engrave.marks.model import MarkedTempo, PassageMark, Placed
from engrave.marks.nodes import Node, Table, Text
from engrave.marks.options import Families
from engrave.marks.places import measure_range
from engrave.marks.readers import Errors, Form, placed, value
from engrave.marks.requests import drills
from engrave.marks.scalars import choice, identifier, name, prose, whole
from engrave.marks.tables import HANDS, STATUSES
from engrave.marks.tempos import passage_tempo, tempo
from engrave.music.notes import Hand
from engrave.music.ranges import MeasureRange

_BOTH = (Hand.RIGHT, Hand.LEFT)
_HANDS = {"right": (Hand.RIGHT,), "left": (Hand.LEFT,), "both": _BOTH}

UNREAD = MeasureRange("", None, "", None)
"""Stands for measures that could not be read."""

_id = placed(value(identifier))
_measures = placed(value(measure_range))
_hands = value(choice("hand", _HANDS, HANDS))
_status = value(name("status", schema.STATUSES, STATUSES))
_number = placed(value(whole("the number of a passage", 1, 999)))
_prose = value(prose)


def passage(node: Node, file_tempo: MarkedTempo, families: Families, errors: Errors) -> PassageMark:
    """A passage as it stands in the file; its id is empty where none was given.

    A single value is its measures.
    """
    if isinstance(node, Text):
        node = Table(((Text("measures", node.source), node),), node.source)
    nowhere = Placed(UNREAD, node.source)
    with Form(node, errors, hint="- measures: 41-44") as form:
        id = form.get("id", _id, None)
        measures = form.require("measures", _measures, hint="measures: 41-44")
        hands = form.get("hand", _hands, ()) if form.node("hand") else _BOTH
        fingers = form.node("fingering")
        number = form.get("number", _number, None)
        mark = PassageMark(
            id=id.value if id else "",
            source=(id or measures or nowhere).source,
            measures=measures or nowhere,
            hands=hands,
            trouble=form.get("trouble", _prose, ""),
            drills=form.get("drills", drills(families), None),
            fingering=fingering(fingers, hands, measures, errors) if fingers else (),
            tempo=passage_tempo(form.get("tempo", tempo, MarkedTempo()), file_tempo, errors),
            status=form.get("status", _status, "learning"),
            number=number.value if number else 0,
            hand_marks=form.get("hands", hand_marks(measures or nowhere), ()),
            remarks=form.get("remarks", _prose, ""),
            private=form.get("private", _prose, ""),
        )
    return replace(mark, flawed=frozenset(form.flawed))


def with_ids(passages: Sequence[PassageMark], errors: Errors) -> tuple[PassageMark, ...]:
    """The passages, every one with an id of its own, also where a file system ignores case."""
    taken: dict[str, PassageMark] = {}
    for each in filter(lambda each: each.id, passages):
        first = taken.setdefault(each.id.lower(), each)
        if first is not each:
            message = f"the id {each.id!r} stands here twice"
            hint = f"first in line {first.source.line}"
            errors.append(EngraveError(message, each.source, hint))
    return tuple(each if each.id else _named(each, taken) for each in passages)


def _named(each: PassageMark, taken: dict[str, PassageMark]) -> PassageMark:
    base = "m" + str(each.measures.value).replace(".", "b")
    names = [base, *(f"{base}-{hand}" for hand in each.hands[:1] if len(each.hands) == 1)]
    free = next(
        id
        for id in (*names, *(f"{base}-{number}" for number in range(2, len(taken) + 3)))
        if id.lower() not in taken
    )
    taken[free.lower()] = each
    return replace(each, id=free)


def numbered(passages: Sequence[PassageMark], errors: Errors) -> tuple[PassageMark, ...]:
    """The passages, every one with a number of its own: the one given, else its place in the file.

    Those that are done are counted, so that the others keep theirs.
    """
    by_number: dict[int, PassageMark] = {}
    every = []
    for place, each in enumerate(passages, 1):
        every.append(replace(each, number=each.number or place))
        first = by_number.setdefault(every[-1].number, each)
        if first is not each:
            named, other = (each, first) if each.number else (first, each)
            whose = "has it too" if other.number else "has it by its place in the file"
            hint = f"the passage in line {other.source.line} {whose}: give one of them another"
            message = f"the number {named.number} stands for two passages"
            errors.append(EngraveError(message, named.source, hint))
    return tuple(every)
