"""Several marks files at once, each in its own folder; what is wrong with one stops no other.

Enters: marks files and how many to build at a time. Leaves: an ``Outcome`` for each, as each ends.
Every build runs in another process, so that even one that crashes costs its own booklet alone.
"""

import gc
from collections.abc import Callable, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, wait
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from engrave.errors import EngraveError, Source
from engrave.machine.cache import Cache
from engrave.machine.raised import failure, mistakes_in
from engrave.machine.workers import ending_early, new_pool, until_told
from engrave.messages import language_for, told
from engrave.pipeline.stages import build
from engrave.pipeline.styling import Job


@dataclass(frozen=True, slots=True)
class Outcome:
    """How one marks file fared. ``mistakes`` are the user's, ``crash`` is the tool's own.

    Neither: its booklet stands, and ``notices`` say what the user should know of it, ``of_base``
    what stands in another file than its own.
    """

    marks: Path
    notices: tuple[str, ...] = ()
    of_base: tuple[str, ...] = ()
    mistakes: tuple[str, ...] = ()
    crash: str = ""

    @property
    def is_built(self) -> bool:
        """Whether there is a booklet."""
        return not self.mistakes and not self.crash


@dataclass(frozen=True, slots=True)
class Task:
    """What is the same for all builds of a batch."""

    out: Path
    job: Job
    cache: Path | None


def build_all(
    paths: Sequence[Path], task: Task, jobs: int, tell: Callable[[Outcome], None]
) -> list[Outcome]:
    """Build all, ``jobs`` at a time; returns the outcomes in the order of ``paths``.

    ``tell`` hears of each as it ends. Raises ``EngraveError`` where two would share a folder.
    """
    _refuse_namesakes(paths)
    outcomes: dict[Path, Outcome] = {}

    def take(outcome: Outcome) -> None:
        outcomes[outcome.marks] = outcome
        tell(outcome)

    lost = _run(paths, task, jobs, take)
    for path in lost:  # a process died, and took others' work with it: one at a time shows whose
        for culprit in _run([path], task, 1, take):
            died = EngraveError("the tool failed: its process died", Source(str(culprit)))
            take(Outcome(culprit, crash=told(died, language_for(culprit, task.job.language))))
    return [outcomes[path] for path in paths]


def _run(
    paths: Sequence[Path], task: Task, jobs: int, take: Callable[[Outcome], None]
) -> list[Path]:
    """Build in a pool of ``jobs`` processes; returns the paths that have no outcome."""
    lost: list[Path] = []
    pool = new_pool(min(jobs, len(paths)))
    with ending_early(pool):
        waiting: dict[Future[Outcome], Path] = {pool.submit(build_one, p, task): p for p in paths}
        while waiting:
            for future in wait(waiting, return_when=FIRST_COMPLETED).done:
                path = waiting.pop(future)
                try:
                    take(future.result())
                except BrokenProcessPool:
                    lost.append(path)
    return lost


def build_one(path: Path, task: Task) -> Outcome:
    """Build one, in a process that does nothing else; raises nothing."""
    return until_told(partial(_build_one, path, task))


def _build_one(path: Path, task: Task) -> Outcome:
    language = language_for(path, task.job.language)
    try:
        checked = build(path, task.out, task.job, cache=Cache(task.cache), alone=True)
    except Exception as raised:
        if mistakes := mistakes_in(raised):
            return Outcome(path, mistakes=tuple(told(each, language) for each in mistakes))
        return Outcome(path, crash=told(failure(raised).at(Source(str(path))), language))
    finally:
        gc.collect()
    own, others = list[str](), list[str]()
    for each in checked.notices:
        is_own = each.source is None or each.source.file == str(path)
        (own if is_own else others).append(told(each, language))
    return Outcome(path, notices=tuple(own), of_base=tuple(others))


def _refuse_namesakes(paths: Sequence[Path]) -> None:
    by_name: dict[str, Path] = {}
    for path in paths:
        other = by_name.setdefault(path.stem, path)
        if other != path or paths.count(path) > 1:
            raise EngraveError(
                f"{other} and {path} would be built in the same folder, {path.stem}",
                hint="rename one of them, or build it by itself with another --out",
            )
