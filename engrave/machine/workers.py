"""Other processes that work for this one, and end when it ends.

Enters: a pool, or a process that has just begun. Leaves: nothing behind: a process that is told to
end clears away what it has half written, one whose parent is gone is told so, and one that cannot
hear is ended. Knows nothing of the work.
"""

import gc
import multiprocessing
import os
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager, suppress
from multiprocessing.connection import wait
from multiprocessing.util import Finalize
from pathlib import Path
from threading import Thread, Timer
from typing import NoReturn, TypeVar

from engrave.machine.methods import keep_methods

T = TypeVar("T")

PATIENCE_SECONDS = 5
"""How long one that was told to end may clear up."""
_CHECK_SECONDS = 0.02
_OWN = "engrave-at-work-"
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


def until_told(work: Callable[[], T]) -> T:
    """What ``work`` returns in a pool's process; told to end, it leaves by what clears up."""
    with suppress(SystemExit, KeyboardInterrupt):
        return work()
    return _leave_now()  # the pool would take it for the work's own end, and go on


def _prepare() -> None:
    """In a new process: an interrupt is its parent's affair, who tells it to end."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, _leave)
    sys.unraisablehook = _told_while_clearing
    gc.disable()
    keep_methods()
    _begin_temporary()
    Finalize(None, _clear_temporary, exitpriority=0)
    Thread(target=_follow_parent, daemon=True).start()


@contextmanager
def own_temporary_folder() -> Iterator[None]:
    """What this process leaves among the temporary files goes with it, or by the next one."""
    before = tempfile.tempdir
    _begin_temporary()
    try:
        yield
    finally:
        _clear_temporary()
        tempfile.tempdir = before


def _begin_temporary() -> None:
    """From now on, this process's temporary files are in a folder of its own."""
    clear_of_dead()
    with suppress(OSError):  # a full disk; the work may do without
        tempfile.tempdir = tempfile.mkdtemp(prefix=f"{_OWN}{os.getpid()}-")


def _clear_temporary() -> None:
    """Take away this process's own temporary folder: libraries leave theirs in it."""
    own = Path(tempfile.gettempdir())
    if own.name.startswith(_OWN):
        shutil.rmtree(own, ignore_errors=True)


def clear_of_dead() -> None:
    """Take away the folders of processes that were killed before they could."""
    if os.name != "posix":
        return  # elsewhere nobody can be asked without a signal that ends him
    for folder in Path(tempfile.gettempdir()).glob(f"{_OWN}*-*"):
        number = folder.name.removeprefix(_OWN).partition("-")[0]
        with suppress(OSError):  # others clear, too
            is_ours = folder.lstat().st_uid == os.getuid()
            if is_ours and number.isdecimal() and _is_gone(int(number)):
                shutil.rmtree(folder, ignore_errors=True)


def _is_gone(process: int) -> bool:
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return True
    except PermissionError:
        return False
    return False


def _leave_now() -> NoReturn:
    _clear_temporary()
    os._exit(128 + signal.SIGTERM)


def _told_while_clearing(what: "sys.UnraisableHookArgs") -> None:
    """Told to end while an object was let go, which ends nothing: told once more in a moment."""
    if isinstance(what.exc_value, SystemExit):
        Timer(_CHECK_SECONDS, os.kill, (os.getpid(), signal.SIGTERM)).start()
    else:
        sys.__unraisablehook__(what)


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
    _leave_now()


def end_with_parent(parent: int) -> None:
    """In a copy of a process: end when ``parent`` does, without a word. Linux alone knows how."""
    if sys.platform == "linux":
        import ctypes

        ctypes.CDLL(None).prctl(_SET_PARENT_DEATH_SIGNAL, signal.SIGKILL)
    if os.getppid() != parent:  # it was gone before
        os._exit(1)
