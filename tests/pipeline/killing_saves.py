"""Logs and marks killed while they are saved, again and again: old or new, whole.

A process takes in one log after another by the whole command, or makes one change after another on
a desk's marks, until it is killed at a random moment; what it leaves must be what one of its steps
makes, to the byte, and the next step must succeed.
"""

import subprocess
import sys
import time
from datetime import date
from pathlib import Path

from engrave.cli import main
from engrave.desk.manuscript import Edit, Manuscript
from engrave.log import Entry, Practised, entry_line
from tests.log.entries import id_of
from tests.pipeline.demo import lay_out
from tests.pipeline.striking import Moment, struck
from tests.robustness.log_trial import MARKS

STEPS = 6
_KEYS = ("480b2269ea1084c9", "e58c17b6572b718f")
_ENTRIES = 150
"""In every log that is taken in, so that its saving takes a while."""

_CHILD = """
import sys
from pathlib import Path
from tests.pipeline.killing_saves import DeskSaves, LogSaves
saves = {"log": LogSaves, "desk": DeskSaves}[sys.argv[1]](Path(sys.argv[2]))
print("on", flush=True)
for step in range(int(sys.argv[3]), int(sys.argv[4])):
    saves.step(step)
"""


class LogSaves:
    """``engrave log MARKS sent-N``, one after the other."""

    name = "log"

    def __init__(self, folder: Path) -> None:
        self.folder, self.file = folder, folder / "nell.log.yaml"
        self.marks = folder / "lantern-rondo.yaml"

    def lay_out(self) -> None:
        """Marks, an empty log, and those to be taken in."""
        lay_out(self.folder).write_text(MARKS, "utf-8")
        self.file.write_text("log: 1\nentries:\n", "utf-8")
        for step in range(STEPS):
            entries = (
                Entry(id_of(step * _ENTRIES + n), date(2027, 2, 1 + n % 28), *_KEYS,
                      Practised("run-to-the-lantern", False, word=f"{n} " + "again " * 20))
                for n in range(_ENTRIES)
            )  # fmt: skip
            lines = "".join(f"{entry_line(each)}\n" for each in entries)
            (self.folder / f"sent-{step}.log.yaml").write_text(f"log: 1\nentries:\n{lines}")

    def step(self, number: int) -> None:
        """Take one in."""
        assert main(["log", str(self.marks), str(self.folder / f"sent-{number}.log.yaml")]) == 0


class DeskSaves:
    """One change after the other at a desk."""

    name = "desk"

    def __init__(self, folder: Path) -> None:
        self.folder, self.file = folder, folder / "lantern-rondo.yaml"
        self.manuscript = Manuscript(self.file)

    def lay_out(self) -> None:
        """The demo's marks."""
        lay_out(self.folder)
        self.manuscript = Manuscript(self.file)

    def step(self, number: int) -> None:
        """Change a remark."""
        change = [Edit(("passages", 0, "remarks"), f"{number} " + "slowly " * 500)]
        self.manuscript.change(change, self.manuscript.version)


class KillingSaves:
    """Kills in ``folder``; ``wholes`` are the file before the first step and after each."""

    def __init__(self, folder: Path, kind: type[LogSaves] | type[DeskSaves]) -> None:
        folder.mkdir(parents=True)
        lay_out(folder)
        self.saves = kind(folder)
        self.saves.lay_out()
        self.wholes = [self.saves.file.read_bytes()]
        begun = time.monotonic()
        for step in range(STEPS):
            self.saves.step(step)
            self.wholes.append(self.saves.file.read_bytes())
        self.seconds = time.monotonic() - begun
        assert len(set(self.wholes)) == STEPS + 1

    def kill(self, moment: Moment) -> int | None:
        """Kill one; returns how many steps it had made, None where it had made them all before.

        Raises ``AssertionError`` where the file is none of them.
        """
        saves = self.saves
        saves.file.write_bytes(self.wholes[0])
        command = [sys.executable, "-c", _CHILD, saves.name, str(saves.folder), "0", str(STEPS)]
        with subprocess.Popen(command, stdout=subprocess.PIPE) as child:
            assert child.stdout
            child.stdout.readline()
            hit = struck(child, moment, saves.folder)
        left = saves.file.read_bytes()
        assert left in self.wholes, f"{saves.name}: {len(left)} bytes that no step made"
        return self.wholes.index(left) if hit else None

    def step_again(self) -> None:
        """The next step succeeds, and a log's clears away what killed ones left."""
        self.saves.file.write_bytes(self.wholes[0])
        again = type(self.saves)(self.saves.folder)
        again.step(0)
        assert again.file.read_bytes() == self.wholes[1]
        if isinstance(again, LogSaves):  # a desk waits a minute: the half may be another desk's
            assert not [each for each in again.folder.iterdir() if each.name.startswith(".")]
