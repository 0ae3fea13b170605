"""Other processes that work for this one, and end when it ends.

Enters: a pool, or a process that has just begun. Leaves: nothing behind: a process that is told to
end clears away what it has half written, one whose parent is gone is told so, and one that cannot
hear is ended. Knows nothing of the work.
"""

import gc
import multiprocessing
import os
import signal
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing.connection import wait
from threading import Thread
from typing import NoReturn

PATIENCE_SECONDS = 5
"""How long one that was told to end may clear up."""
_CHECK_SECONDS = 0.02
_SET_PARENT_DEATH_SIGNAL = 1


def new_pool(processes: int) -> ProcessPoolExecutor:
    """A pool of fresh processes that end with this one."""
    return ProcessPoolExecutor(processes, multiprocessing.get_context("spawn"), _prepare)


@contextmanager
def ending_early(pool: ProcessPoolExecutor) -> Iterator[None]:
    """Whatever is raised in here, an interrupt before all, ends the pool's work at once."""
    with pool:
        try:
            yield
        except BaseException:
            _end(pool)
            raise


def _end(pool: ProcessPoolExecutor) -> None:
    """End the pool's processes: told first, then, if they do not hear, by force."""
    processes = list((getattr(pool, "_processes", None) or {}).values())
    pool.shutdown(wait=False, cancel_futures=True)
    for process in processes:
        process.terminate()
    last = time.monotonic() + PATIENCE_SECONDS
    while any(process.is_alive() for process in processes) and time.monotonic() < last:
        time.sleep(_CHECK_SECONDS)
    for process in processes:
        if process.is_alive():
            process.kill()


@contextmanager
def clearing_up() -> Iterator[None]:
    """Work of a pool's process: told to end, it leaves by way of all that clears up."""
    try:
        yield
    except (SystemExit, KeyboardInterrupt):
        os._exit(128 + signal.SIGTERM)  # the pool would take it for the work's own end, and go on


def _prepare() -> None:
    """In a new process: an interrupt is its parent's affair, who tells it to end."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, _leave)
    gc.disable()
    Thread(target=_follow_parent, daemon=True).start()


def _leave(*_: object) -> NoReturn:
    raise SystemExit


def _follow_parent() -> None:
    """Wait until the parent is gone, killed or not; then end as if it had said so."""
    parent = multiprocessing.parent_process()
    if parent is None:
        return
    wait([parent.sentinel])
    os.kill(os.getpid(), signal.SIGTERM)
    time.sleep(PATIENCE_SECONDS)
    os._exit(128 + signal.SIGTERM)


def end_with_parent(parent: int) -> None:
    """In a copy of a process: end when ``parent`` does, without a word. Linux alone knows how."""
    if sys.platform == "linux":
        import ctypes

        ctypes.CDLL(None).prctl(_SET_PARENT_DEATH_SIGNAL, signal.SIGKILL)
    if os.getppid() != parent:  # it was gone before
        os._exit(1)
