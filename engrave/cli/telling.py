"""What the commands tell while they work, and what is wrong.

Enters: errors, notices, stages. Leaves: lines in one language on the standard error. Knows no
command.
"""

import sys
from collections.abc import Iterable
from shutil import get_terminal_size

from engrave.cli.terminal import shown
from engrave.errors import EngraveError, Notice
from engrave.messages import in_language, told


def tell(news: Iterable[EngraveError | Notice], language: str) -> None:
    """Print each once, on the standard error."""
    for each in dict.fromkeys(told(each, language) for each in news):
        print(shown(each), file=sys.stderr)


class WorkLine:
    """What is in work, on one line of a terminal that goes away again; nothing elsewhere."""

    def __init__(self, language: str) -> None:
        self._language = language
        self._is_shown = sys.stderr.isatty()

    def __call__(self, stage: str) -> None:
        """``stage`` begins."""
        self.show(f"· {in_language(stage, self._language)}")

    def show(self, text: str) -> None:
        """Put ``text`` on the line, as much of it as there is room for."""
        if self._is_shown:
            room = get_terminal_size().columns - 1
            print(f"\r\x1b[2K{text[:room]}", end="", file=sys.stderr, flush=True)

    def clear(self) -> None:
        """Leave the line to others."""
        if self._is_shown:
            print("\r\x1b[2K", end="", file=sys.stderr, flush=True)
