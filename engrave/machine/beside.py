"""Work that is done while other work is done, in a copy of this process.

Enters: functions without arguments whose values can be pickled. Leaves: their values, when they
are asked for. Where the system copies no processes, or there is one processor, the work is done
when its value is asked for, and so is work whose process failed: what is wrong is then told as if
there had been no other process.
"""

import os
import pickle
import signal
import sys
from collections.abc import Callable
from contextlib import suppress
from io import BytesIO
from typing import BinaryIO, Generic, NoReturn, TypeVar

from engrave.machine.workers import end_with_parent

T = TypeVar("T")


class Beside(Generic[T]):
    """``work`` under way. Leaving its ``with`` block ends a process that nobody waits for.

    ``alone``: no other process is wanted.
    """

    def __init__(self, work: Callable[[], T], alone: bool = False) -> None:
        self._work = work
        self._made: list[T] = []
        self._process: int = 0
        self._sent: BinaryIO = BytesIO()
        if _can_copy() and not alone:
            with suppress(OSError):  # no more processes may be had, or no more memory
                self._process, self._sent = _started(work)

    def value(self) -> T:
        """What the work returns; raises what it raises."""
        if self._process:
            sent = self._sent.read()
            _, status = os.waitpid(self._process, 0)
            self._process = 0
            if status == 0:
                self._made.append(pickle.loads(sent))
        if not self._made:
            self._made.append(self._work())
        return self._made[0]

    def __enter__(self) -> "Beside[T]":
        return self

    def __exit__(self, *_: object) -> None:
        self.end()

    def end(self) -> None:
        """End the process, unless it has given its value."""
        self._sent.close()
        if self._process:
            os.kill(self._process, signal.SIGKILL)
            os.waitpid(self._process, 0)
            self._process = 0


def _can_copy() -> bool:
    return sys.platform == "linux" and len(os.sched_getaffinity(0)) > 1


def _started(work: Callable[[], object]) -> tuple[int, BinaryIO]:
    """The process that does ``work``, and where its value can be read."""
    reading, writing = os.pipe()
    parent = os.getpid()
    try:
        process = os.fork()
    except OSError:
        os.close(reading)
        os.close(writing)
        raise
    if process == 0:
        end_with_parent(parent)
        os.close(reading)
        _do(work, writing)
    os.close(writing)
    return process, open(reading, "rb")


def _do(work: Callable[[], object], pipe: int) -> NoReturn:
    """Send the value, and end without what the end of the program does: that is its parent's."""
    status = 1
    try:
        with open(pipe, "wb") as file:
            pickle.dump(work(), file, protocol=5)
        status = 0
    finally:
        os._exit(status)
