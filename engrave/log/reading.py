"""From a log file to its entries, line by line; what is wrong with a line costs that line alone.

Enters: a path, or text. Leaves: ``LogText``: entries with their lines, and all mistakes. A line
written as this tool and the screen write it is read at once; any other by the reader of the marks.
"""

import json
import re
from codecs import BOM_UTF8
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

from engrave.errors import EngraveError, Mistakes, Source
from engrave.log.model import Adoption, Entry, Lesson, Practised, What, Withdrawal
from engrave.marks.days import day
from engrave.marks.nodes import List, Node, Table, Text
from engrave.marks.readers import Errors, Form, Reader, list_of, value
from engrave.marks.scalars import identifier, line, number, shown, whole
from engrave.marks.text import find_control, name_of, read_bytes
from engrave.marks.tree import read_tree_of
from engrave.music.tempo import BEAT_UNITS
from engrave.music.units import Quarters

FORMAT = 1
MOST_BYTES = 20_000_000
"""Some hundred thousand entries: a long life's practice."""
LONGEST_LINE = 20_000

_HEAD = re.compile(r"log: *([0-9]{1,9})[ \t]*(#.*)?")
_OPENING = re.compile(r"entries: *(\[ *\])?[ \t]*(#.*)?")
_IGNORED = re.compile(r"[ \t]*(#.*)?|---|\.\.\.")
_ENTRY = re.compile(r"[ \t]*- +\{(.*)\}[ \t]*")
_PAIR = re.compile(
    r'([a-z]+): ("(?:[^"\\]|\\["\\/])*"|\[[\w.+/ ,-]*\]|[A-Za-z0-9][\w.+/-]*)(, |$)', re.ASCII
)
PLAIN = re.compile(r"[A-Za-z0-9][\w.+/-]*", re.ASCII)
"""A value that needs no quotes."""
_KEY = re.compile(r"[0-9a-f]{16}")
_ID = re.compile(r"[0-9a-f]{32}")
_DRILL = re.compile(r"[A-Za-z0-9]+([-_.][A-Za-z0-9]+)*")
_BEAT = re.compile(r"[1-9][0-9]?(/[1-9][0-9]?)?")
_ONE_LINE = "an entry is one line: - {id: …, day: 2027-02-14, …}"


@dataclass(frozen=True, slots=True)
class LogLine:
    """An entry with the line that it was read from, comments above it included."""

    entry: Entry
    text: str
    source: Source


@dataclass(frozen=True, slots=True)
class LogText:
    """A log as it stands in a file: what is before the entries, the entries, what comes after."""

    head: str
    lines: tuple[LogLine, ...]
    tail: str
    mistakes: tuple[EngraveError, ...]

    @property
    def entries(self) -> tuple[Entry, ...]:
        """The entries that could be read, in the order of the file."""
        return tuple(each.entry for each in self.lines)


EMPTY = LogText("log: 1\nentries:\n", (), "", ())


def own_log(path: Path) -> LogText:
    """The log that is kept at ``path``, empty where no file is yet.

    Raises ``Mistakes``, all of them: it is not built from, nor written over, in part.
    """
    if not path.exists():
        return EMPTY
    try:
        log = read_log(path)
    except EngraveError as error:
        raise Mistakes([error]) from error
    if log.mistakes:
        raise Mistakes(log.mistakes)
    return log


def read_log(path: Path) -> LogText:
    """The log at ``path``. Raises ``EngraveError`` for what is no log, or of another format."""
    data = read_bytes(path, MOST_BYTES, (".log.yaml",), "split it into two logs")
    return read_log_bytes(data, str(path))


def read_log_bytes(data: bytes, file: str) -> LogText:
    """The same of what a file holds; ``file`` names it in mistakes."""
    reading = _Reading(file)
    for number_, each in enumerate(re.split(b"\r\n|\r|\n", data.removeprefix(BOM_UTF8)), 1):
        reading.take(each, number_)
    return reading.finished()


class _Reading:
    """A log on its way from lines to entries."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.head: list[str] = []
        self.waiting: list[str] = []
        self.lines: list[LogLine] = []
        self.mistakes: Errors = []
        self.is_known = self.is_open = False

    def take(self, line_: bytes, number_: int) -> None:
        """One more line."""
        source = Source(self.file, number_, 1)
        try:
            text = _text(line_, source)
        except EngraveError as error:
            if not self.is_known:
                raise
            self.mistakes.append(error)
            return
        if _IGNORED.fullmatch(text):
            self.waiting.append(text)
        elif not self.is_known:
            _check_head(text, source)
            self.is_known = True
            self.begin(text)
        elif not self.is_open and _OPENING.fullmatch(text):
            self.is_open = True
            self.begin(re.sub(r" *\[ *\]", "", text))
        else:
            self.entry(text, source)

    def begin(self, text: str) -> None:
        self.head += [*self.waiting, text]
        self.waiting = []

    def entry(self, text: str, source: Source) -> None:
        try:
            read = _entry(text, source, self.mistakes) if self.is_open else None
        except EngraveError as error:
            self.mistakes.append(error)
            return
        if not self.is_open:
            self.mistakes.append(
                EngraveError("this stands before entries:", source, "log: 1, then entries:")
            )
        if read:
            self.lines.append(LogLine(read, "\n".join([*self.waiting, text]), source))
            self.waiting = []

    def finished(self) -> LogText:
        tail = self.waiting[:-1] if self.waiting and not self.waiting[-1] else self.waiting
        if not self.is_known and not any(tail):
            return EMPTY
        if not self.is_known:
            raise EngraveError("this is no log", Source(self.file, 1, 1), "it begins with log: 1")
        if not self.is_open:
            self.head.append("entries:")
        after = "".join(f"{each}\n" for each in tail)
        head = "".join(f"{each}\n" for each in self.head)
        return LogText(head, tuple(self.lines), after, tuple(self.mistakes))


def _text(line_: bytes, source: Source) -> str:
    try:
        text = line_.decode()
    except UnicodeDecodeError as error:
        column = len(line_[: error.start].decode("utf-8", "replace")) + 1
        raise EngraveError(
            "this is not UTF-8 text", replace(source, column=column), "save the file as UTF-8"
        ) from None
    found = find_control(text)
    if found is not None:
        place = replace(source, column=found + 1)
        raise EngraveError(f"{name_of(text[found])} is not text", place, "delete it")
    return text


def _check_head(text: str, source: Source) -> None:
    match = _HEAD.fullmatch(text)
    if not match:
        raise EngraveError("this is no log", source, "a log begins with log: 1, then entries:")
    if int(match[1]) != FORMAT:
        raise EngraveError(
            f"this log is of format {int(match[1])}, and this version of the tool reads {FORMAT}",
            source,
            "a newer version wrote it: take it in with that one; nothing was changed",
        )


def _entry(text: str, source: Source, mistakes: Errors) -> Entry | None:
    if len(text) > LONGEST_LINE:
        raise EngraveError(f"a line of {len(text):,} characters", source, "one entry, one line")
    node = _quickly(text, source)
    errors: Errors = []
    if node is None:
        node = _slowly(text, source, errors)
    read = _read_entry(node, errors) if node else None
    mistakes += errors
    return None if errors else read


def _quickly(text: str, source: Source) -> Node | None:
    """A line in the form that this tool and the screen write; None for any other."""
    whole_line = _ENTRY.fullmatch(text)
    if not whole_line:
        return None
    inside, at = whole_line[1], 0
    pairs: dict[str, tuple[Text, Node]] = {}
    while at < len(inside):
        match = _PAIR.match(inside, at)
        if not match or match[1] in pairs or (match[3] and match.end() == len(inside)):
            return None
        node = _value(match[2], replace(source, column=whole_line.start(1) + match.start(2) + 1))
        if node is None:
            return None
        key = Text(match[1], replace(source, column=whole_line.start(1) + at + 1))
        pairs[match[1]] = key, node
        at = match.end()
    place = replace(source, column=whole_line.start(1))
    return Table(tuple(pairs.values()), place)


def _value(text: str, source: Source) -> Node | None:
    if text.startswith('"'):
        return Text(json.loads(text), source)
    if not text.startswith("["):
        return Text(text, source)
    items, column = [], source.column + 1
    for each in text[1:-1].split(", ") if text != "[]" else ():
        if not PLAIN.fullmatch(each):
            return None
        items.append(Text(each, replace(source, column=column)))
        column += len(each) + 2
    return List(tuple(items), source)


def _slowly(text: str, source: Source, errors: Errors) -> Node | None:
    """A line in any other form of YAML: a list of one entry."""

    def moved(error: EngraveError) -> EngraveError:
        at = replace(error.source or source, line=source.line)
        return EngraveError(error.message, at, error.hint)

    problems: Errors = []
    try:
        root = read_tree_of(text, source.file, problems)
    except EngraveError as error:
        errors.append(EngraveError(error.message, moved(error).source, _ONE_LINE))
        return None
    errors += map(moved, problems)
    if not isinstance(root, List) or len(root.items) != 1:
        errors.append(EngraveError("this is no entry", source, _ONE_LINE))
        return None
    return _on_line(root.items[0], source.line)


def _on_line(node: Node, number_: int) -> Node:
    source = replace(node.source, line=number_)
    if isinstance(node, List):
        return List(tuple(_on_line(each, number_) for each in node.items), source)
    if isinstance(node, Table):
        entries = [(_on_line(key, number_), _on_line(each, number_)) for key, each in node.entries]
        return Table(tuple((k, v) for k, v in entries if isinstance(k, Text)), source)
    return replace(node, source=source)


def _digits(what: str, pattern: "re.Pattern[str]", hint: str) -> Callable[[str], str]:
    def read(text: str) -> str:
        if not pattern.fullmatch(text):
            raise EngraveError(f"{shown(text)} is no {what}", hint=hint)
        return text

    return read


_an_id = _digits("entry's id", _ID, "32 digits of 0-9 and a-f")
_a_key = _digits("key", _KEY, "16 digits of 0-9 and a-f")


def _drill(text: str) -> str:
    if len(text) > 200 or not _DRILL.fullmatch(text) or "." not in text:
        raise EngraveError(f"{shown(text)} is no drill", hint="run.rhythms.long-short")
    return text


def _beat(text: str) -> Quarters:
    if text in BEAT_UNITS:
        return BEAT_UNITS[text]
    if not _BEAT.fullmatch(text):
        hint = "quarter, dotted-quarter …, or its length in quarters: 3/2"
        raise EngraveError(f"unknown beat {shown(text)}", hint=hint)
    return Fraction(text)


_ids = list_of(value(identifier), least=0, most=200)


def _read_entry(node: Node, errors: Errors) -> Entry | None:
    before = len(errors)
    with Form(node, errors, hint="{id: …, day: 2027-02-14, …}") as form:
        id = form.require("id", value(_an_id), "32 random digits of 0-9 and a-f")
        on = form.require("day", value(day), "day: 2027-02-14")
        piece = form.require("piece", value(_a_key), "the key of the piece")
        student = form.require("student", value(_a_key), "the key of the student")
        kinds = [kind for kind in _KINDS if form.node(kind) is not None]
        what = _KINDS[kinds[0]](form) if kinds else None
    if len(errors) > before:
        return None
    if len(kinds) != 1:
        said = f"{' and '.join(kinds)} in one entry" if kinds else "this entry says of nothing"
        errors.append(EngraveError(said, node.source, f"one of {', '.join(_KINDS)}"))
        return None
    if not (id and on and piece and student and what):
        return None
    errors += _contradictions(what, node.source)
    return Entry(id, on, piece, student, what) if len(errors) == before else None


def _practised(form: Form, kind: str, reader: Reader[str]) -> Practised:
    return Practised(
        target=form.get(kind, reader, ""),
        is_drill=kind == "drill",
        mark=form.get("mark", value(whole("the mark", 10, 600)), None),
        beat=form.get("beat", value(_beat), None),
        clean=form.get("clean", value(whole("clean", 0, 99)), None),
        minutes=form.get("minutes", value(number("minutes", 0, 600)), None),
        word=form.get("word", value(line), ""),
    )


_KINDS: dict[str, Callable[[Form], What]] = {
    "drill": lambda form: _practised(form, "drill", value(_drill)),
    "passage": lambda form: _practised(form, "passage", value(identifier)),
    "lesson": lambda form: Lesson(form.get("lesson", _ids, ()), form.get("done", _ids, ())),
    "withdraws": lambda form: Withdrawal(form.get("withdraws", value(_an_id), "")),
    "adopts": lambda form: Adoption(form.get("adopts", value(_a_key), "")),
}


def _contradictions(what: What, source: Source) -> Iterator[EngraveError]:
    if not isinstance(what, Practised):
        return
    together = {"mark": what.mark, "beat": what.beat, "clean": what.clean}
    missing = [name for name, found in together.items() if found is None]
    if 0 < len(missing) < len(together):
        hint = "a mark has its beat, and how often running it was clean: clean: 3"
        yield EngraveError(f"{' and '.join(missing)} missing here", source, hint)
