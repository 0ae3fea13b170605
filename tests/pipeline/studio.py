"""A studio of students who learn one piece, and how long their booklets take together.

``python -m tests.pipeline.studio --students 20`` builds them at once and one after another, each
time without a cache, and prints the ratio.
"""

import argparse
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.score.build import back, document, head, measure, note

BASE = """piece: {title: Weir, composer: Ada Holm}
score: weir.musicxml
teacher: Tobias Quern
tempo: {beat: quarter, goal: 96}
passages:
  - {id: run, measures: 1-2, hand: right, drills: [rhythms: {variants: [long-short]}]}
  - {id: last, measures: "3", hand: both, drills: [staccato]}
"""


def small_score() -> str:
    """Four measures of sixteenths over quarters."""

    def bar(number: int) -> str:
        steps = [f"{step}{5 if number % 2 else 4}" for step in "CDEFGABA"]
        right = "".join(note(step, "1/4") for step in steps)
        left = "".join(note(step, 1, voice=5, staff=2) for step in ("C3", "G3"))
        return measure(number, right, back(2), left, head=head("2/4") if number == 1 else "")

    return document(("Piano", "".join(map(bar, range(1, 5)))))


def lay_out_studio(folder: Path, count: int) -> tuple[Path, list[Path]]:
    """The base, and ``count`` students, each with what differs."""
    (folder / "pupils").mkdir(parents=True, exist_ok=True)
    (folder / "studio.yaml").touch()
    (folder / "weir.musicxml").write_text(small_score(), "utf-8")
    (folder / "weir.yaml").write_text(BASE, "utf-8")
    students = []
    for number in range(1, count + 1):
        marks = folder / "pupils" / f"pupil-{number}.yaml"
        marks.write_text(
            "from: ../weir.yaml\n"
            f"student: {{name: Pupil {number}, stretch_cm: {19 + number % 5}}}\n"
            f"practice: {{minutes_a_day: {15 + number}}}\n",
            "utf-8",
        )
        students.append(marks)
    return folder / "weir.yaml", students


def seconds(students: list[Path], out: Path, jobs: int | None = None) -> float:
    """How long the booklets take: ``jobs`` at a time, or each by a command of its own."""
    start = time.monotonic()
    for some in [students] if jobs else [[each] for each in students]:
        command = [sys.executable, "-m", "engrave", "build", *map(str, some), "--no-cache"]
        command += ["--out", str(out), *(["--jobs", str(jobs)] if jobs else [])]
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return time.monotonic() - start


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--students", type=int, default=20)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        _, students = lay_out_studio(folder, options.students)
        together = seconds(students, folder / "two", 2)
        queued = seconds(students, folder / "queue", 1)
        alone = seconds(students, folder / "one")
    print(f"{options.students} booklets, two at a time: {together:.1f} s")
    print(f"one after another, a command each: {alone:.1f} s, ratio {together / alone:.2f}")
    print(f"one after another in one command: {queued:.1f} s, ratio {together / queued:.2f}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
