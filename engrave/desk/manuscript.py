"""The marks file on the desk: what stands in it, what was changed, and whether it is saved.

Enters: changes, each a place and what is to stand there. Leaves: the file, saved after every
change, and the text at every moment. Every change can be undone and done again. A file that others
change meanwhile is taken over as it is, never overwritten. Knows nothing of scores or browsers.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from threading import RLock

from engrave.errors import EngraveError, Source
from engrave.machine.saving import Changed, save
from engrave.marks.editing import Splice, with_value, without
from engrave.marks.spans import KeyPath
from engrave.marks.yaml_text import YamlValue

BOM = b"\xef\xbb\xbf"
MOST_STEPS = 1000
"""Changes that can be undone."""


@dataclass(frozen=True, slots=True)
class Edit:
    """At ``path``, ``value`` is to stand; None takes away what stands there."""

    path: KeyPath
    value: YamlValue | None


class Manuscript:
    """A marks file that is being edited; ``path`` need not exist before the first change."""

    def __init__(self, path: Path, first_text: str = "") -> None:
        self.path = path
        self.version = 0
        self._lock = RLock()
        self._first_text = first_text
        self._done: list[Splice] = []
        self._undone: list[Splice] = []
        self._on_disk: bytes | None = None
        self._text = ""
        self.problem: EngraveError | None = None
        self._read()

    @property
    def text(self) -> str:
        """What the file holds or, before there is one, will begin with."""
        return self._text if self._on_disk is not None else self._first_text

    def begin_with(self, text: str) -> None:
        """Have a file that is not there yet begin with ``text``."""
        with self._lock:
            if not self.is_there:
                self._first_text = text

    @property
    def is_there(self) -> bool:
        """Whether there is a file yet."""
        return self._on_disk is not None

    @property
    def can_undo(self) -> bool:
        """Whether there is a step to take back."""
        return bool(self._done)

    @property
    def can_redo(self) -> bool:
        """Whether there is a step to take again."""
        return bool(self._undone)

    def change(self, changes: Sequence[Edit], base: int) -> None:
        """Make all ``changes`` as one step, and save.

        ``base`` is the version that whoever asks has seen. Raises ``EngraveError``; nothing has
        changed then.
        """
        with self._lock:
            self._refuse_old(base)
            text = self.text
            for each in changes:
                if each.value is None:
                    text = without(text, each.path, str(self.path))
                else:
                    text = with_value(text, each.path, each.value, str(self.path))
            if text == self.text and self.is_there:
                return
            splice = Splice.between(self.text, text)
            self._save(text)
            self._done = [*self._done[-MOST_STEPS:], splice]
            self._undone.clear()

    def undo(self, base: int) -> None:
        """Take the last step back, and save; raises ``EngraveError`` where it no longer fits."""
        with self._lock:
            self._refuse_old(base)
            if self._done:
                splice = self._done[-1]
                self._save(splice.undone.of(self.text))
                self._undone.append(self._done.pop())

    def redo(self, base: int) -> None:
        """Take the step that was taken back last once more, and save."""
        with self._lock:
            self._refuse_old(base)
            if self._undone:
                splice = self._undone[-1]
                self._save(splice.of(self.text))
                self._done.append(self._undone.pop())

    def look(self) -> bool:
        """Take over what others wrote; returns whether anything has changed.

        Steps stay undoable as long as their own places are as they left them.
        """
        with self._lock:
            before = self._on_disk
            self._read()
            if self._on_disk == before:
                return False
            self.version += 1
            self._undone.clear()
            if self._on_disk is None:
                self._done.clear()
            return True

    def _refuse_old(self, base: int) -> None:
        if base != self.version:
            raise Changed(
                "the marks have changed since this page saw them",
                Source(str(self.path)),
                "the page shows them as they are now: do it once more",
            )

    def _save(self, text: str) -> None:
        mark = BOM if (self._on_disk or b"").startswith(BOM) else b""
        content = mark + text.encode("utf-8")
        try:
            save(self.path, content, self._on_disk)
        except Changed:
            self.look()
            raise
        except EngraveError as error:
            self.problem = error
            raise
        self._on_disk, self._text, self.problem = content, text, None
        self.version += 1

    def _read(self) -> None:
        try:
            content: bytes | None = self.path.read_bytes()
        except FileNotFoundError:
            content = None
        except OSError as error:
            reason = error.strerror or str(error)
            self.problem = EngraveError(f"it cannot be read: {reason}", Source(str(self.path)))
            return
        self._on_disk = content
        if content is not None:
            try:
                self._text = content.decode("utf-8-sig")
                self.problem = None
            except UnicodeDecodeError:
                self._text = content.decode("utf-8", "replace")
                hint = "save the file as UTF-8"
                self.problem = EngraveError("this is not UTF-8 text", Source(str(self.path)), hint)
