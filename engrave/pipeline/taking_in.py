"""What goes into a log: entries that others wrote, and the lessons.

Enters: the marks, files with entries. Leaves: the log beside the marks, whole or as it was. Taking
in is a union of sets: any order, any number of times, the same log.
"""

import secrets
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from pathlib import Path

from engrave.errors import EngraveError, Mistakes, counted
from engrave.log import (
    Adoption,
    Entry,
    Keys,
    Lesson,
    Withdrawal,
    joined,
    own_log,
    read_log,
)
from engrave.log.model import What
from engrave.log.progress import diary
from engrave.log.reading import LogLine
from engrave.machine.saving import replace
from engrave.machine.writing import turn
from engrave.marks import Marks

_ALWAYS = date(2000, 1, 1)
"""The day of an adoption, which has none: the same whatever is taken in first."""


@dataclass(frozen=True, slots=True)
class Intake:
    """What was taken in: how many entries were new and how many known, and what was refused."""

    new: int
    known: int
    refused: tuple[EngraveError, ...] = ()


def log_path(marks: Marks) -> Path:
    """The log that ``marks`` name; raises ``EngraveError`` where they name none."""
    if marks.log is None:
        hint = "name one beside it, as in log: nell.log.yaml; it need not be there yet"
        raise EngraveError("these marks name no log", marks.source, hint)
    return marks.log.value


def take_in(
    marks: Marks, keys: Keys, files: Sequence[Path], rest: bool = False, others: bool = False
) -> Intake:
    """Take the entries of ``files`` into the log of ``marks``.

    ``others``: also those of another piece or student. Raises ``Mistakes`` with all that is wrong
    in the files, and takes nothing in, unless ``rest`` asks for what is right.
    """
    path = log_path(marks)
    with turn(path.absolute()):
        log = own_log(path)
        found, refused = _read_all(files)
        known = _known_keys(log.entries, keys)
        strangers = [line for line in found if not _is_of(line.entry, known)]
        entries = [line.entry for line in found if others or _is_of(line.entry, known)]
        if others:
            entries += _adoptions([line.entry for line in strangers], known, keys)
        else:
            refused += _not_ours(strangers)
        if refused and not rest:
            raise Mistakes([*refused, _nothing_taken(len(entries))])
        before = set(log.entries)
        new = {entry for entry in entries if entry not in before}
        if new:
            replace(path, joined(log, new).encode(), is_alone=True)
    return Intake(len(new), len({*entries}) - len(new), tuple(refused))


def note_lesson(marks: Marks, keys: Keys) -> bool:
    """Note the lesson of ``marks`` in their log; False if it stands there as it is."""
    path = log_path(marks)
    if marks.lesson is None:
        hint = "say for which day the booklet is, as in lesson: 2027-02-20"
        raise EngraveError("these marks name no lesson", marks.source, hint)
    day = marks.lesson.value
    lesson = Lesson(
        tuple(each.id for each in marks.passages),
        tuple(each.id for each in marks.passages if each.status == "done"),
    )
    with turn(path.absolute()):
        log = own_log(path)
        standing = [each for each in diary(log.entries, keys).lessons if each.day == day]
        if [each.what for each in standing] == [lesson]:
            return False
        whats: list[What] = [*(Withdrawal(each.id) for each in standing), lesson]
        entries = [
            Entry(secrets.token_hex(16), day, keys.piece, keys.student, what) for what in whats
        ]
        replace(path, joined(log, entries).encode(), is_alone=True)
    return True


def _read_all(files: Sequence[Path]) -> tuple[list[LogLine], list[EngraveError]]:
    lines: list[LogLine] = []
    refused: list[EngraveError] = []
    for file in files:
        try:
            log = read_log(file)
        except EngraveError as error:
            refused.append(error)
            continue
        lines += log.lines
        refused += log.mistakes
    return lines, refused


Known = tuple[frozenset[str], frozenset[str]]
"""Keys of pieces, keys of students."""


def _known_keys(entries: Iterable[Entry], keys: Keys) -> Known:
    adopted = {
        each.what.key
        for each in entries
        if isinstance(each.what, Adoption)
        and (each.piece, each.student) == (keys.piece, keys.student)
    }
    return frozenset({keys.piece, *adopted}), frozenset({keys.student, *adopted})


def _is_of(entry: Entry, known: Known) -> bool:
    return entry.piece in known[0] and entry.student in known[1]


def _adoptions(entries: Sequence[Entry], known: Known, keys: Keys) -> list[Entry]:
    strange = {each.piece for each in entries} - known[0]
    strange |= {each.student for each in entries} - known[1]
    return [
        Entry(
            sha256(f"adopts {key} {keys.piece} {keys.student}".encode()).hexdigest()[:32],
            _ALWAYS,
            keys.piece,
            keys.student,
            Adoption(key),
        )
        for key in sorted(strange)
    ]


def _not_ours(lines: Sequence[LogLine]) -> list[EngraveError]:
    """One error a file, at the first entry of somebody else."""
    by_file: dict[str, list[LogLine]] = {}
    for line in lines:
        by_file.setdefault(line.source.file, []).append(line)
    return [
        EngraveError(
            f"{counted(len(each), 'entry', 'entries')} of another piece or another student",
            each[0].source,
            "take them in all the same with --others, if title or name were written otherwise",
        )
        for each in by_file.values()
    ]


def _nothing_taken(count: int) -> EngraveError:
    hint = f"--rest takes in the {counted(count, 'entry', 'entries')} that can be read"
    return EngraveError("nothing was taken in", hint=hint if count else "")
