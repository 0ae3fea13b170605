"""The marks file as a whole.

Enters: a path, and what drill families take. Leaves: ``Marks``, or all mistakes of the file
together. Looks at the score's path, never into the score.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

from engrave.errors import EngraveError, Mistakes, Notice, Source
from engrave.marks import schema
from engrave.marks.days import day
from engrave.marks.hands import hand_marks
from engrave.marks.model import MarkedTempo, Marks, PassageMark, Piece, Placed, Practice, Student
from engrave.marks.nodes import List, Node, Table, Text, words_of
from engrave.marks.options import Families
from engrave.marks.passages import UNREAD, numbered, passage, with_ids
from engrave.marks.readers import Errors, Form, Reader, list_of, placed, value
from engrave.marks.scalars import choice, line, name, number, to_the_letter, whole, yes_or_no
from engrave.marks.score_path import log_path, score_path
from engrave.marks.studio import FROM, with_base
from engrave.marks.tables import WEEKDAYS
from engrave.marks.tempos import file_tempo
from engrave.marks.tree import read_tree
from engrave.music.notes import Hand
from engrave.words import LANGUAGE_NAMES, LANGUAGES

MOST_PASSAGES = 200
MOST_DAYS = 182
"""Half a year of practice: five pages of plan."""

_SENTENCES = ("trouble", "remarks", "private", "title", "composer", "name", "teacher")

_line = value(line)
_stretch = value(number("the stretch", *schema.STRETCH_CM, " cm"))
_pages = placed(value(whole("the number of pages", 2, 400)))
_movement = placed(value(whole("the movement", 1, 99)))
_weekdays = {weekday: index for index, weekday in enumerate(schema.WEEKDAYS)}
_weekday = value(choice("weekday", _weekdays, WEEKDAYS))


class MarksMistakes(Mistakes):
    """All mistakes of a marks file; ``legible`` is what could be read of it all the same.

    It holds the passages whose measures are known, so that they can be held against the score; it
    is None where the file has no score to hold them against.
    """

    def __init__(self, errors: Errors, legible: Marks | None = None) -> None:
        super().__init__(errors)
        self.legible = legible


def read_marks(path: Path, families: Families) -> Marks:
    """The marks in the file at ``path``; raises ``MarksMistakes``, all of them at once.

    ``families``: those that a passage can ask for, with what each of them takes.
    """
    errors: Errors = []
    try:
        marks = _marks(path, with_base(path, read_tree(path, errors), errors), families, errors)
    except EngraveError as error:
        told = {each.source.line for each in errors if each.source}
        once = error.source and error.source.line in told  # a sign refused there ends the reading
        raise MarksMistakes([*errors, *([] if once else [error])]) from error
    if errors:
        raise MarksMistakes(errors, _legible(marks))
    return marks


def _legible(marks: Marks) -> Marks | None:
    passages = tuple(each for each in marks.passages if each.measures.value is not UNREAD)
    return None if marks.score.value == marks.file else replace(marks, passages=passages)


def _marks(path: Path, root: Node, families: Families, errors: Errors) -> Marks:
    nowhere = Placed(path, root.source)
    with Form(root, errors, hint="a marks file holds score: and passages:") as form:
        tempo = form.get("tempo", file_tempo, MarkedTempo())
        marks = Marks(
            file=path,
            source=Source(str(path)),
            score=form.require("score", _score, hint="score: rondo.musicxml") or nowhere,
            passages=_passages_of(form, tempo, families, errors),
            part=form.get("part", placed(_line), None),
            piece=form.get("piece", _piece, Piece()),
            student=form.get("student", _student, Student()),
            teacher=form.get("teacher", _line, ""),
            performance=form.get("performance", placed(value(day)), None),
            lesson=form.get("lesson", placed(value(day)), None),
            log=form.get("log", placed(value(lambda text: log_path(text, path.parent))), None),
            begin=form.get("begin", placed(value(day)), None),
            practice=form.get("practice", _practice, Practice()),
            tempo=tempo,
            hand_marks=form.get("hands", hand_marks(), ()),
            language=form.get("language", value(name("language", LANGUAGES, LANGUAGE_NAMES)), "en"),
            paper=form.get("paper", value(name("paper", schema.PAPERS)), "a4"),
            staff_mm=form.get("staff_mm", _staff_mm, None),
            pages=form.get("pages", _pages, None),
            show_student=form.get("show_student", value(yes_or_no), False),
            sound=form.get("sound", value(yes_or_no), False),
            notices=tuple(_odd_texts(root)),
        )
        form.node(FROM)  # what it names is in the tree already
    notices = (*marks.notices, *_twice(marks.passages))
    marks = replace(marks, notices=notices, flawed=frozenset(form.flawed))
    errors.extend(_wrong_days(marks.begin, marks.performance))
    errors.extend(_lesson_too_late(marks.lesson, marks.performance, marks.begin))
    errors.extend(_reached_too_late(marks))
    return marks


def _passages_of(
    form: Form, tempo: MarkedTempo, families: Families, errors: Errors
) -> tuple[PassageMark, ...]:
    """The passages with their ids and numbers, which the file may leave out."""
    hint = "passages: [{measures: 41-44}]"
    named = form.require("passages", _passages(tempo, families), hint=hint) or ()
    return numbered(with_ids(named, errors), errors)


def _twice(passages: Sequence[PassageMark]) -> Iterator[Notice]:
    """Passages of the same measures and hands as one before them, where neither is done."""
    known: dict[object, int] = {}
    for each in passages:
        where = each.measures.value, frozenset(each.hands)
        if each.status == "done":
            continue
        if where in known:
            message = f"passage {known[where]} has the same measures and hand"
            yield Notice(message, each.measures.source)
        known.setdefault(where, each.number)


def _reached_too_late(marks: Marks) -> Iterator[EngraveError]:
    """Marks that are said to be reached on a day after the lesson."""
    days = [each.tempo.reached_on for each in marks.passages]
    requests = [request for each in marks.passages for request in each.drills or ()]
    days += [each.options.reached.day for each in requests if each.options.reached]
    for day_ in days:
        if day_ and marks.lesson and day_.value > marks.lesson.value:
            yield EngraveError(
                f"{day_.value} is after the lesson, {marks.lesson.value}",
                day_.source,
                "a mark is reached before the lesson or in it",
            )


def _lesson_too_late(
    lesson: Placed[date] | None, performance: Placed[date] | None, begin: Placed[date] | None
) -> Iterator[EngraveError]:
    if lesson and performance and performance.value < lesson.value:
        yield EngraveError(
            f"the performance, {performance.value}, was before the lesson, {lesson.value}",
            performance.source,
            "name the next one, or leave performance out",
        )
    elif lesson and performance and not begin:
        days = (performance.value - lesson.value).days
        if days > MOST_DAYS:
            yield EngraveError(
                f"a plan of {days} days is too long",
                performance.source,
                f"at most {MOST_DAYS} days from the lesson on; begin: DAY begins it later",
            )


def _odd_texts(node: Node) -> Iterator[Notice]:
    """Sentences and names that may be meant otherwise.

    Behind them, a space apart, a comment begins; or one quotation mark of two is missing.
    """
    if isinstance(node, List):
        for item in node.items:
            yield from _odd_texts(item)
    elif isinstance(node, Table):
        for key, held in node.entries:
            if key.text in _SENTENCES and isinstance(held, Text) and held.comment:
                whole = f'{key.text}: "{held.text} {held.comment}"'
                yield Notice(
                    f"everything after # is a comment, and not printed: if it belongs to the "
                    f"text, put it in quotes: {whole}",
                    held.source,
                )
            if key.text in _SENTENCES and isinstance(held, Text) and held.text.count('"') % 2:
                yield Notice(
                    f"a quotation mark stands alone in this text, and is printed: {held.text}",
                    held.source,
                )
            yield from _odd_texts(held)


def _wrong_days(
    begin: Placed[date] | None, performance: Placed[date] | None
) -> Iterator[EngraveError]:
    """What is wrong with a practice plan from one day to the other."""
    if begin is None:
        return
    if performance is None:
        yield EngraveError(
            "there is no performance that the plan could lead up to",
            begin.source,
            "performance: 2027-03-14, or leave begin out",
        )
        return
    days = (performance.value - begin.value).days
    if days < 1:
        yield EngraveError(
            f"the performance, {performance.value}, is not after the day on which the plan "
            f"begins, {begin.value}",
            performance.source,
            "begin on an earlier day, or leave begin out",
        )
    if days > MOST_DAYS:
        yield EngraveError(
            f"a plan of {days} days is too long", begin.source, f"at most {MOST_DAYS} days"
        )


def _score(node: Node, errors: Errors) -> Placed[Path] | None:
    """The score stands beside the file in which it is named, be that the marks or their base."""
    folder = Path(node.source.file).parent
    return placed(value(lambda text: score_path(to_the_letter(text), folder)))(node, errors)


def _passages(tempo: MarkedTempo, families: Families) -> Reader[tuple[PassageMark, ...]]:
    def read(node: Node, errors: Errors) -> PassageMark:
        return passage(node, tempo, families, errors)

    items = list_of(read, most=MOST_PASSAGES, repeats=True)

    def read_all(node: Node, errors: Errors) -> tuple[PassageMark, ...] | None:
        if isinstance(node, Text):  # ranges in a row, without brackets
            return items(List(tuple(words_of(node)), node.source), errors)
        if not isinstance(node, Table):
            return items(node, errors)
        hint = "- measures: 41-44"
        errors.append(EngraveError("each passage begins with a dash", node.source, hint))
        return None

    return read_all


def _piece(node: Node, errors: Errors) -> Piece:
    with Form(node, errors, hint="{title: …, composer: …}") as form:
        movement, title = form.get("movement", _movement, None), form.node("title")
        return Piece(
            title=form.get("title", _line, ""),
            composer=form.get("composer", _line, ""),
            movement=movement.value if movement else None,
            movement_source=movement.source if movement else None,
            title_source=title.source if title else None,
        )


def _student(node: Node, errors: Errors) -> Student:
    with Form(node, errors, hint="{name: …, stretch_cm: {left: 20.5, right: 21}}") as form:
        return Student(
            name=form.get("name", _line, ""),
            stretch_mm={**Student().stretch_mm, **form.get("stretch_cm", _stretch_mm, {})},
        )


def _stretch_mm(node: Node, errors: Errors) -> dict[Hand, float]:
    """A stretch for both hands, or one for each that is named."""
    if isinstance(node, Text):
        cm = _stretch(node, errors)
        return {} if cm is None else dict.fromkeys(Hand, float(cm * 10))
    with Form(node, errors, hint="{left: 20.5, right: 21}") as form:
        by_hand = {hand: form.get(hand, _stretch, None) for hand in Hand}
    return {hand: float(cm * 10) for hand, cm in by_hand.items() if cm is not None}


def _practice(node: Node, errors: Errors) -> Practice:
    with Form(node, errors, hint="{minutes_a_day: 30, rest_days: [sunday]}") as form:
        practice = Practice(
            minutes_a_day=form.get("minutes_a_day", value(whole("minutes a day", 5, 480)), None),
            rest_days=form.get("rest_days", list_of(_weekday), ()),
        )
    if len(practice.rest_days) >= len(_weekdays):
        errors.append(
            EngraveError("no day is left to practise", form.place("rest_days"), "leave one day out")
        )
    return practice


def _staff_mm(node: Node, errors: Errors) -> float | None:
    millimetres = value(number("the staff height", *schema.STAFF_MM, " mm"))(node, errors)
    return None if millimetres is None else float(millimetres)
