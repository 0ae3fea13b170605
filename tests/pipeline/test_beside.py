"""Work beside other work has the value, or the failure, that it would have had without."""

import errno
import os
import signal
import time
from collections.abc import Callable

import pytest

from engrave.errors import EngraveError
from engrave.machine import beside
from engrave.machine.beside import Beside
from tests.processes import children

LARGE = 4_000_000
"""Bytes: far more than a pipe holds."""


@pytest.fixture(autouse=True)
def two_processors(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(beside, "_can_copy", lambda: True)


@pytest.mark.parametrize("alone", [False, True])
def test_a_large_value(alone: bool) -> None:
    with Beside(lambda: b"x" * LARGE, alone) as work:
        assert work.value() == b"x" * LARGE


def test_it_is_another_process() -> None:
    with Beside(os.getpid) as one, Beside(os.getpid) as other:
        assert len({os.getpid(), one.value(), other.value()}) == 3


def test_a_value_may_be_asked_for_again() -> None:
    with Beside(os.getpid) as work:
        assert work.value() == work.value()


def test_alone_it_is_this_process() -> None:
    with Beside(os.getpid, alone=True) as work:
        assert work.value() == os.getpid()


def refuse() -> None:
    raise EngraveError("no note of it can be engraved")


def die() -> int:
    if os.getpid() != OURS:
        os._exit(9)
    return 7


OURS = os.getpid()


def test_a_mistake_is_raised_here() -> None:
    with Beside(refuse) as work, pytest.raises(EngraveError, match="no note of it"):
        work.value()


@pytest.mark.parametrize("work", [die, lambda: (os.getpid(), lambda: None)])
def test_what_fails_there_is_done_here(work: Callable[[], object]) -> None:
    with Beside(work) as under_way:
        value = under_way.value()
    assert value == 7 or (isinstance(value, tuple) and value[0] == os.getpid())


def test_one_that_is_interrupted_while_it_waits_leaves_nobody_behind() -> None:
    before = children()
    signal.signal(signal.SIGALRM, signal.default_int_handler)
    try:
        with pytest.raises(KeyboardInterrupt):
            wait_for(lambda: time.sleep(60))
    finally:
        signal.signal(signal.SIGALRM, signal.SIG_DFL)
    assert children() <= before


def wait_for(work: Callable[[], object]) -> None:
    with Beside(work) as under_way:
        signal.setitimer(signal.ITIMER_REAL, 0.2)  # once there is somebody to leave behind
        under_way.value()


def test_nobody_is_left_behind() -> None:
    before = children()
    with Beside(lambda: time.sleep(60)):
        assert len(children() - before) == 1
    assert children() <= before


def test_where_no_more_processes_may_be_had_the_work_is_done_here(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def refuse() -> int:
        raise BlockingIOError(errno.EAGAIN, os.strerror(errno.EAGAIN))

    monkeypatch.setattr(os, "fork", refuse)
    opened = set(os.listdir("/proc/self/fd"))
    with Beside(os.getpid) as work:
        assert work.value() == os.getpid()
    assert set(os.listdir("/proc/self/fd")) <= opened
