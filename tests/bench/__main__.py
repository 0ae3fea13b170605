"""``make bench``: how fast booklets are made, against the direct way and against themselves.

Fresh processes in turn, ratios pair by pair, medians. ``--rounds 5``, ``--only a,c`` for some of
the tables, ``--jobs demo`` for some of the jobs. By the clock, in parentheses of the processors:
the latter hold on a machine that has other things to do.
"""

import argparse
import json
import os
import platform
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from statistics import median

from tests.bench import jobs
from tests.bench.jobs import Job
from tests.bench.measuring import Run, Series, growth, in_turn, peak_mb, run

JOBS: dict[str, Callable[[Path], Job]] = {"demo": jobs.demo, "rag": jobs.rag, "book": jobs.book}
PASSAGES = (1, 2, 4, 8, 16, 32, 64)
MEASURES = (50, 100, 200, 400, 800)
FILES = 30


class Bench:
    """The tables, each a method; ``folder`` is theirs to fill."""

    def __init__(self, folder: Path, rounds: int, chosen: list[str]) -> None:
        self.folder, self.rounds = folder, rounds
        self.jobs = [JOBS[name](folder / name) for name in chosen]

    def a(self) -> None:
        """Cold build against the direct way."""
        for job in self.jobs:
            ours, direct = in_turn(self.rounds, (self._cold(job), self._direct(job)))
            print(f"  {job.name}: {_said(ours)}, direct {_said(direct)}: {_ratio(ours, direct)}")

    def b(self) -> None:
        """Share of a cold build by stage."""
        for job in self.jobs:
            seen = [self._stages(job) for _ in range(self.rounds)]
            shares = {stage: median(each[stage] for each in seen) for stage in seen[0]}
            total = sum(shares.values())
            told = (f"{stage} {100 * share / total:.0f} %" for stage, share in shares.items())
            print(f"  {job.name}: {', '.join(told)}")

    def c(self) -> None:
        """Built again after one passage changed, and after words alone, against direct and cold."""
        for job in self.jobs:
            warm = self.folder / "warm"
            shutil.rmtree(warm, ignore_errors=True)
            run(self._command(job), warm)
            passage, words, cold, direct = in_turn(
                self.rounds,
                (
                    self._again(job, job.passage, warm),
                    self._again(job, job.word, warm),
                    self._cold(job),
                    self._direct(job),
                ),
            )
            for what, again in (("one passage", passage), ("words", words)):
                print(
                    f"  {job.name}, {what}: {_said(again)}, of direct {_ratio(again, direct)}, "
                    f"of cold {_ratio(again, cold)}"
                )

    def d(self) -> None:
        """Growth with passages and with the length of the score."""
        by_passages = [
            (float(n), self._grown(jobs.book(self.folder / f"p{n}", n, 128))) for n in PASSAGES
        ]
        by_measures = [
            (float(n), self._grown(jobs.book(self.folder / f"m{n}", 4, n))) for n in MEASURES
        ]
        for what, points in (("passages", by_passages), ("measures", by_measures)):
            told = ", ".join(f"{size:.0f}: {seconds:.2f} s" for size, seconds in points)
            print(f"  by {what}: {told}; exponent {growth(points):.2f}")

    def e(self) -> None:
        """Peak memory of all processes together."""
        for job in self.jobs:
            peak = peak_mb(self._command(job, "--no-cache"))
            print(f"  {job.name}: {peak:.0f} MB")

    def f(self) -> None:
        """Thirty marks files on two cores against one by one."""
        folder = self.folder / "thirty"
        job = jobs.rag(folder)
        text = job.marks.read_text("utf-8")
        marks = [folder / f"rag-{number}.yaml" for number in range(FILES)]
        for number, path in enumerate(marks):
            path.write_text(text.replace("piece: {title: ", f"piece: {{title: {number} "), "utf-8")

        def several(jobs_at_once: int) -> Callable[[int], Run]:
            command = ["engrave", "build", "--no-cache", "--out", str(self.folder / "out")]
            return lambda _: run([*command, "--jobs", str(jobs_at_once), *marks])

        one, two = in_turn(max(1, self.rounds // 2), (several(1), several(2)))
        times = 1 / two.over(one)[0]
        print(f"  {FILES} files: {_said(two)}, one by one {_said(one)}: {times:.2f} times as fast")

    def g(self) -> None:
        """The screen edition beside the student's, against the student's alone."""
        self._beside("--edition", "student", "--edition", "screen")

    def h(self) -> None:
        """All editions with sound and screen, against the student's alone."""
        names = ("student", "stand", "masterclass", "screen")
        self._beside("--sound", *(word for name in names for word in ("--edition", name)))

    def _beside(self, *options: str) -> None:
        for job in self.jobs:
            more, alone = in_turn(self.rounds, (self._cold(job, *options), self._cold(job)))
            print(f"  {job.name}: {_said(more)}, alone {_said(alone)}: {_ratio(more, alone)}")

    def _command(self, job: Job, *options: str) -> list[str | Path]:
        return ["engrave", "build", job.marks, "--out", job.marks.parent / "out", *options]

    def _cold(self, job: Job, *options: str) -> Callable[[int], Run]:
        return lambda _: run(self._command(job, "--no-cache", *options))

    def _direct(self, job: Job) -> Callable[[int], Run]:
        return lambda _: run(["tests.bench.direct", job.marks, self.folder / "direct.pdf"])

    def _again(self, job: Job, edit: Callable[[str, int], str], warm: Path) -> Callable[[int], Run]:
        def again(number: int) -> Run:
            text = job.marks.read_text("utf-8")
            cache = self.folder / "cache"
            shutil.rmtree(cache, ignore_errors=True)
            shutil.copytree(warm, cache)
            job.change(edit, number)
            try:
                return run(self._command(job), cache)
            finally:
                job.marks.write_text(text, "utf-8")

        return again

    def _grown(self, job: Job) -> float:
        (series,) = in_turn(max(1, self.rounds // 2), (self._cold(job),))
        return series.processor

    def _stages(self, job: Job) -> dict[str, float]:
        command = [
            sys.executable,
            "-m",
            "tests.bench.stages",
            *map(str, (job.marks, job.marks.parent / "out")),
        ]
        printed = subprocess.run(command, check=True, capture_output=True).stdout
        stages: dict[str, float] = json.loads(printed)
        return stages


def _said(series: Series) -> str:
    return f"{series.seconds:.2f} s ({series.processor:.2f})"


def _ratio(one: Series, other: Series) -> str:
    clock, processor = one.over(other)
    return f"{clock:.3f} ({processor:.3f})"


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--only", default="a,b,c,d,e,f,g,h")
    parser.add_argument("--jobs", default=",".join(JOBS))
    options = parser.parse_args()
    if unknown := set(options.jobs.split(",")) - set(JOBS):
        parser.error(f"no job is called {', '.join(sorted(unknown))}; there are {', '.join(JOBS)}")
    print(f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}")
    with tempfile.TemporaryDirectory() as folder:
        bench = Bench(Path(folder), options.rounds, options.jobs.split(","))
        for name in options.only.split(","):
            table = getattr(bench, name)
            print(f"({name}) {table.__doc__}")
            table()
    return 0


if __name__ == "__main__":
    sys.exit(main())
