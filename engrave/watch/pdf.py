"""The PDF, made behind the page: in another process, the last state first, whole or not at all.

Enters: word that the marks can be built. Leaves: word to the stage, and the PDF's bytes.
"""

from collections.abc import Callable
from concurrent.futures import Future
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path
from threading import RLock

from engrave.machine.workers import new_pool
from engrave.pipeline.batch import Outcome, Task, build_one
from engrave.watch.stage import Pdf, PdfState


class PdfShelf:
    """The PDFs of one marks file. ``tell`` hears when one is begun, done or could not be made."""

    def __init__(self, marks: Path, task: Task, tell: Callable[[Pdf], None]) -> None:
        self._marks, self._task, self._tell = marks, task, tell
        self._file = f"{marks.stem}-{task.job.editions[0]}.pdf"
        self._lock, self._is_running, self._is_due = RLock(), False, False
        self._pool = new_pool(1)

    def renew(self) -> None:
        """Have it made; once more, if it is being made of an earlier state."""
        with self._lock:
            self._is_due = True
            if not self._is_running:
                self._begin()

    def content(self, name: str) -> bytes | None:
        """The PDF of that name; None for any other."""
        if name != self._file:
            return None
        try:
            return (self._task.out / self._marks.stem / name).read_bytes()
        except OSError:
            return None

    def close(self) -> None:
        """Make no more; one that is being made may still be finished.

        An idle pool is waited for: Python, at its own end, would wake it, and finds a pipe closed
        if it goes meanwhile.
        """
        with self._lock:
            self._is_due = False
            is_idle = not self._is_running
        self._pool.shutdown(wait=is_idle, cancel_futures=True)

    def _begin(self) -> None:
        self._is_running, self._is_due = True, False
        self._tell(Pdf(self._existing(), PdfState.MAKING))
        try:
            future = self._pool.submit(build_one, self._marks, self._task)
        except BrokenProcessPool:  # the last build took its process with it
            self._pool = new_pool(1)
            future = self._pool.submit(build_one, self._marks, self._task)
        future.add_done_callback(self._end)

    def _end(self, future: "Future[Outcome]") -> None:
        if future.cancelled():
            return
        crash = future.exception()
        outcome = future.result() if crash is None else Outcome(self._marks, crash=str(crash))
        with self._lock:
            self._is_running = False
            if self._is_due:
                self._begin()
            elif outcome.is_built:
                self._tell(Pdf(self._file, PdfState.MADE))
            else:
                reason = outcome.crash or outcome.mistakes[0]
                self._tell(Pdf(self._existing(), PdfState.FAILED, reason))

    def _existing(self) -> str | None:
        return self._file if self.content(self._file) else None
