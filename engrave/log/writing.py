"""From entries to a log file: sorted, one a line, what stood in the file kept to the letter.

Enters: a log as it was read, and more entries. Leaves: text. Whatever the order in which entries
come, and however often, the same set gives the same text.
"""

from collections.abc import Iterable, Iterator
from fractions import Fraction

from engrave.log.model import Adoption, Entry, Lesson, Practised, Withdrawal
from engrave.log.reading import PLAIN, LogText
from engrave.music.tempo import BEAT_UNITS
from engrave.music.units import Quarters, fraction_text


def joined(log: LogText, entries: Iterable[Entry]) -> str:
    """The text of ``log`` with ``entries`` in it, by day, each once."""
    lines: dict[Entry, str] = {}
    for each in log.lines:
        lines.setdefault(each.entry, each.text)
    for entry in entries:
        lines.setdefault(entry, entry_line(entry))
    in_order = sorted(lines, key=lambda entry: (entry.day, entry.id, entry_line(entry)))
    return log.head + "".join(f"{lines[entry]}\n" for entry in in_order) + log.tail


def entry_line(entry: Entry) -> str:
    """An entry as a line, without its end."""
    pairs = [
        ("id", entry.id),
        ("day", entry.day.isoformat()),
        ("piece", entry.piece),
        ("student", entry.student),
        *_what(entry),
    ]
    return "- {" + ", ".join(f"{key}: {text}" for key, text in pairs) + "}"


def _what(entry: Entry) -> Iterator[tuple[str, str]]:
    what = entry.what
    if isinstance(what, Practised):
        yield "drill" if what.is_drill else "passage", what.target
        if what.mark is not None and what.beat is not None:
            yield "mark", str(what.mark)
            yield "beat", beat_text(what.beat)
            yield "clean", str(what.clean)
        if what.minutes is not None:
            yield "minutes", _decimal(what.minutes)
        if what.word:
            yield "word", _text(what.word)
    elif isinstance(what, Lesson):
        yield "lesson", f"[{', '.join(what.passages)}]"
        if what.done:
            yield "done", f"[{', '.join(what.done)}]"
    elif isinstance(what, Withdrawal):
        yield "withdraws", what.entry
    elif isinstance(what, Adoption):
        yield "adopts", what.key


def beat_text(beat: Quarters) -> str:
    """What a mark counts, as an entry says it."""
    names = {unit: name for name, unit in BEAT_UNITS.items()}
    return names.get(beat) or fraction_text(beat)


def _decimal(number: Fraction) -> str:
    return f"{float(number):.9f}".rstrip("0").rstrip(".")


def _text(text: str) -> str:
    if PLAIN.fullmatch(text):
        return text
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'
