"""Work shared by two processes has the values, or the failure, that it would have had in one."""

import os
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TypeVar

import pytest

from engrave.errors import EngraveError
from engrave.machine import beside, shared
from engrave.machine.shared import Shared
from tests.processes import children

T = TypeVar("T")

OURS = os.getpid()


@pytest.fixture(autouse=True)
def two_processors(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(beside, "_can_copy", lambda: True)


def square(number: int) -> int:
    return number * number


def refuse(number: int) -> int:
    if number in (3, 8):
        raise EngraveError(f"{number} cannot be engraved")
    return number


def die_elsewhere(number: int) -> int:
    if number == 5 and os.getpid() != OURS:
        os._exit(9)
    return number


def works(work: Callable[[int], T], count: int) -> list[Callable[[], T]]:
    return [partial(work, number) for number in range(count)]


@pytest.mark.parametrize("alone", [False, True])
@pytest.mark.parametrize("count", [0, 1, 50])
def test_values_come_in_order(count: int, alone: bool) -> None:
    with Shared(works(square, count), alone) as under_way:
        assert under_way.values() == [number * number for number in range(count)]


def test_more_than_a_pipe_holds(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shared, "_MOST", 7)
    with Shared(works(square, 50)) as under_way:
        assert under_way.values() == [number * number for number in range(50)]


def test_both_processes_work_and_nothing_is_done_twice(tmp_path: Path) -> None:
    def who(number: int) -> tuple[int, int]:
        (tmp_path / str(os.getpid())).touch()
        end = time.monotonic() + 60
        while len(list(tmp_path.iterdir())) < 2 and time.monotonic() < end:
            time.sleep(0.005)  # until the other has begun, however busy the machine is
        return number, os.getpid()

    with Shared(works(who, 60)) as under_way:
        found = under_way.values()
    assert [number for number, _ in found] == list(range(60))
    assert len({process for _, process in found}) == 2


@pytest.mark.parametrize("alone", [False, True])
def test_the_first_mistake_is_raised(alone: bool) -> None:
    with (
        Shared(works(refuse, 10), alone) as under_way,
        pytest.raises(EngraveError, match="3 cannot be engraved"),
    ):
        under_way.values()


def test_what_fails_there_is_done_here() -> None:
    with Shared(works(die_elsewhere, 10)) as under_way:
        time.sleep(0.1)
        assert under_way.values() == list(range(10))


def test_nobody_is_left_behind() -> None:
    before, open_before = children(), set(os.listdir("/proc/self/fd"))
    with Shared([partial(time.sleep, 60)] * 3):
        assert len(children() - before) == 1
    assert children() <= before
    assert set(os.listdir("/proc/self/fd")) <= open_before
