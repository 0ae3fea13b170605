"""A process of its own for trials, which may hang, swell or die without taking the others along.

Enters: cases, one at a time. Leaves: what came of each. The process is kept from case to case; one
that takes too long or too much is ended, and the next case begins another. Linux, for ``/proc``.
"""

import multiprocessing
import os
import resource
import tempfile
import time
from dataclasses import dataclass
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from pathlib import Path

from tests.robustness.trial import Case

SECONDS = 20
"""Of the processor, for one case."""
PATIENCE_SECONDS = 300
"""Of the clock, for one case: longer than this, it waits for something."""
MEMORY = 2**30
_TICKS = os.sysconf("SC_CLK_TCK")


@dataclass(frozen=True, slots=True)
class Result:
    """What came of a case: ``came`` as far as it got, ``wrong`` empty where all was as agreed."""

    case: Case
    came: str
    wrong: str
    seconds: float = 0
    peak: int = 0


class Worker:
    """Runs cases in another process."""

    def __init__(self) -> None:
        self._process: BaseProcess | None = None
        self._ours: Connection

    def run(self, case: Case, with_more: bool) -> Result:
        """What came of ``case``."""
        process = self._process or self._begin()
        before, clock = _seconds_of(process), time.monotonic()
        try:
            self._ours.send((case, with_more))
            while not self._ours.poll(0.05):
                spent = _seconds_of(process) - before
                if spent > SECONDS or time.monotonic() - clock > PATIENCE_SECONDS:
                    self.end()
                    return Result(case, "failed", "it takes too long", spent)
            came, wrong, peak = self._ours.recv()
        except (EOFError, OSError):
            process.join()
            self.end()
            return Result(case, "failed", f"the process died, {process.exitcode}")
        spent = _seconds_of(process) - before
        if peak > MEMORY:
            self.end()
            wrong = wrong or f"{peak / 2**20:.0f} MiB of memory"
        return Result(case, came, wrong, spent, peak)

    def _begin(self) -> BaseProcess:
        context = multiprocessing.get_context("spawn")
        self._ours, theirs = context.Pipe()
        self._process = context.Process(target=_serve, args=(theirs,), daemon=True)
        self._process.start()
        theirs.close()
        return self._process

    def end(self) -> None:
        """End the process, whatever it is doing."""
        if self._process is not None:
            self._process.kill()
            self._process.join()
            self._ours.close()
            self._process = None


def _serve(theirs: Connection) -> None:
    """In the process: run what comes, in a folder and with a cache of its own."""
    resource.setrlimit(resource.RLIMIT_AS, (8 * MEMORY, 8 * MEMORY))
    with tempfile.TemporaryDirectory() as name:
        folder, elsewhere = Path(name) / "case", Path(name) / "elsewhere"
        for each in ("here", "home", "temporary"):
            (elsewhere / each).mkdir(parents=True)
        os.chdir(elsewhere / "here")
        os.environ |= {
            "XDG_CACHE_HOME": f"{name}/cache",
            "HOME": str(elsewhere / "home"),
            "TMPDIR": str(elsewhere / "temporary"),
        }
        tempfile.tempdir = None
        while True:
            try:
                case, with_more = theirs.recv()
            except EOFError:
                return
            Path("/proc/self/clear_refs").write_text("5")  # forget the highest memory so far
            came, wrong = case.run(folder, with_more)
            outside = [path.name for each in elsewhere.iterdir() for path in each.iterdir()]
            if not wrong and (outside or {each.name for each in folder.iterdir()} - {"in", "out"}):
                wrong = f"something was written elsewhere: {outside}"
            theirs.send((came, wrong, _highest_memory()))


def _highest_memory() -> int:
    """Bytes of memory that this process held at most since it was last asked to forget."""
    lines = Path("/proc/self/status").read_text().splitlines()
    return next(int(line.split()[1]) * 1024 for line in lines if line.startswith("VmHWM"))


def _seconds_of(process: BaseProcess) -> float:
    """Seconds of the processor that ``process`` has taken; none once it has ended."""
    try:
        fields = Path(f"/proc/{process.pid}/stat").read_text().rpartition(")")[2].split()
    except OSError:
        return 0
    return (int(fields[11]) + int(fields[12])) / _TICKS
