"""What stands while a booklet is bound and written: little a drill, and none of its music.

The long form, by the memory of all processes, is ``python -m tests.robustness.memory``.
"""

import gc
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import BuiltinFunctionType, FunctionType, MethodType, ModuleType

import pytest

from engrave.machine.cache import NO_CACHE, Cache
from engrave.music.drill import Drill
from engrave.pipeline import stages
from engrave.pipeline.binding import bind_all
from engrave.pipeline.exchanging import exchange
from tests.bench.jobs import book

MOST_BYTES = 22_000
"""Of one drill, its pictures, its files and a sixth of its passage: 14,100 as this is written."""
_NO_DATA = (type, ModuleType, FunctionType, BuiltinFunctionType, MethodType)


def _size(*roots: object) -> int:
    """Bytes of all that can be reached."""
    seen = dict[int, object]()
    left = list(roots)
    while left:
        each = left.pop()
        if id(each) not in seen and not isinstance(each, _NO_DATA):
            seen[id(each)] = each
            left.extend(gc.get_referents(each))
    return sum(map(sys.getsizeof, seen.values()))


@contextmanager
def _without_looking() -> Iterator[None]:
    """As the commands do, so that what only holds itself stands, too."""
    gc.collect()
    gc.disable()
    try:
        yield
    finally:
        gc.enable()


def _with_music() -> dict[int, Drill]:
    drills = {id(each): each for each in gc.get_objects() if isinstance(each, Drill)}
    return {key: each for key, each in drills.items() if any(bar.events for bar in each.sheet.bars)}


@pytest.mark.parametrize("alone", [True, False], ids=["alone", "shared"])
@pytest.mark.parametrize("kept", [False, True], ids=["no cache", "cache"])
def test_drills_are_held_without_their_music(
    alone: bool, kept: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job, found = book(tmp_path / "book", 2, 6), list[str]()
    cache = Cache(tmp_path / "cache") if kept else NO_CACHE

    def looking(work: Callable[..., object]) -> Callable[..., object]:
        def look(*given: object) -> object:
            found.extend(each.id for key, each in _with_music().items() if key not in before)
            return work(*given)

        return look

    monkeypatch.setattr(stages, "bind_all", looking(bind_all))
    monkeypatch.setattr(stages, "exchange", looking(exchange))
    for _ in range(1 + kept):
        before = _with_music()
        with _without_looking():
            made = stages.build(job.marks, tmp_path / "out", cache=cache, alone=alone)
        assert len(made.drills) > 9
        assert found == []


def test_little_stands_for_each_drill(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Counted between two booklets of unlike length: what there is once does not matter."""
    weighed: list[tuple[int, int]] = []

    def weigh(checked, to, files, drawn, booklets, job):  # type: ignore[no-untyped-def]
        weighed.append((len(checked.drills), _size(checked, files, drawn, booklets)))
        return exchange(checked, to, files, drawn, booklets, job)

    monkeypatch.setattr(stages, "exchange", weigh)
    for passages in (2, 6):
        job = book(tmp_path / str(passages), passages, 14)
        stages.build(job.marks, tmp_path / "out" / str(passages), alone=True)
    (few, light), (many, heavy) = weighed
    assert (heavy - light) / (many - few) < MOST_BYTES
