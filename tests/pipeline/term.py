"""A term of one student: lesson after lesson through the real commands, each booklet read back.

``python -m tests.pipeline.term --lessons 12 --seeds 3`` plays terms by chance. The student learns,
gets stuck, forgets and finishes; what every booklet must say is worked out here from the entries
alone, by other code than the tool's.
"""

import argparse
import json
import random
import re
import sys
import tempfile
from collections.abc import Iterator
from contextlib import redirect_stdout
from dataclasses import dataclass, field
from datetime import date, timedelta
from io import StringIO
from pathlib import Path
from typing import Any

import pypdfium2

from engrave.cli import main as engrave
from tests.pipeline.studio import small_score

FIRST = date(2027, 1, 9)
WEEK = timedelta(days=7)
MINUTES = 25
STUCK, FINISHES, FORGETS, LATE = "stuck", "finishes", "forgets", "late"
MEASURES = {FINISHES: "1", STUCK: "2", FORGETS: "3", LATE: "4"}
NUMBERS = {name: number for number, name in enumerate(MEASURES, 1)}
FINISHED_AT, LATE_FROM = 5, 4
"""Lessons, from 0: at which one passage is done, from which on another is marked."""


@dataclass
class Term:
    """A term in ``folder``; ``tried`` are all entries: day, drill, mark, how often clean."""

    folder: Path
    lessons: int
    chance: random.Random
    tried: list[tuple[date, str, int, int]] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    number: int = 0

    def play(self) -> list[str]:
        """Play the term; returns everything that was not as it must be."""
        (self.folder / "weir.musicxml").write_text(small_score(), "utf-8")
        for lesson in range(self.lessons):
            self.write_marks(lesson)
            with redirect_stdout(StringIO()):
                self.expect(engrave(["log", str(self.marks), "--lesson"]) == 0, "no lesson")
                code = engrave(["build", str(self.marks), "--out", str(self.folder / "out")])
            self.expect(code == 0, f"lesson {lesson}: no booklet")
            self.read_back(lesson)
            self.practise(lesson)
        return self.wrong

    @property
    def marks(self) -> Path:
        return self.folder / "ida.yaml"

    @property
    def performance(self) -> date:
        return FIRST + self.lessons * WEEK

    def expect(self, holds: bool, message: str) -> None:
        if not holds:
            self.wrong.append(message)

    def status(self, name: str, lesson: int) -> str | None:
        """What a passage is at a lesson; None: it is not marked yet."""
        if name == LATE and lesson < LATE_FROM:
            return None
        return "done" if name == FINISHES and lesson >= FINISHED_AT else "learning"

    def write_marks(self, lesson: int) -> None:
        """The teacher's file of a lesson."""
        passages = "".join(
            f'  - {{id: {name}, measures: "{MEASURES[name]}", hand: right, status: {status}, '
            "drills: [rhythms: {variants: [long-short, short-long]}]}\n"
            for name in MEASURES
            if (status := self.status(name, lesson))
        )
        self.marks.write_text(
            "piece: {title: Weir, composer: Ada Holm}\nscore: weir.musicxml\n"
            f"student: {{name: Ida}}\nlesson: {FIRST + lesson * WEEK}\nlog: ida.log.yaml\n"
            f"performance: {self.performance}\ntempo: {{goal: 96}}\n"
            f"practice: {{minutes_a_day: {MINUTES}, rest_days: [sunday]}}\npassages:\n{passages}",
            "utf-8",
        )

    def practise(self, lesson: int) -> None:
        """A week at the piano; what was done comes in as two files, one of them twice."""
        keys = self.keys()
        lines = []
        for offset in sorted(self.chance.sample(range(1, 7), 4)):
            day = FIRST + lesson * WEEK + timedelta(days=offset)
            for drill in self.active:
                mark, clean = self.attempt(drill, lesson)
                self.tried.append((day, drill["id"], mark, clean))
                self.number += 1
                lines.append(
                    f"- {{id: {self.number:032x}, day: {day}, {keys}, drill: {drill['id']}, "
                    f"mark: {mark}, beat: quarter, clean: {clean}, minutes: 3}}\n"
                )
        files = [self.folder / "one.yaml", self.folder / "two.yaml"]
        files[0].write_text("log: 1\nentries:\n" + "".join(lines[:9]), "utf-8")
        files[1].write_text("log: 1\nentries:\n" + "".join(reversed(lines[5:])), "utf-8")
        for each in (*files, files[0]):
            with redirect_stdout(StringIO()):
                code = engrave(["log", str(self.marks), str(each)])
            self.expect(code == 0, f"lesson {lesson}: {each.name} not taken in")

    def keys(self) -> str:
        """Those that the tool wrote with the first lesson."""
        text = (self.folder / "ida.log.yaml").read_text("utf-8")
        found = re.search(r"piece: \w+, student: \w+", text)
        assert found
        return found[0]

    def attempt(self, drill: dict[str, Any], lesson: int) -> tuple[int, int]:
        """Which mark is tried, and how often running it is clean."""
        ladder, now = drill["ladder"], self.reached(drill, FIRST + (lesson + 1) * WEEK)
        at = ladder.index(now) if now in ladder else -1
        if drill["passage"] == STUCK and 2 <= lesson < 6:
            return ladder[min(at + 1, len(ladder) - 1)], self.chance.randint(0, 2)
        if drill["passage"] == FORGETS and lesson == 7:
            return ladder[max(0, at - 2)], 3
        return ladder[min(at + 1, len(ladder) - 1)], self.chance.choice((2, 3, 3))

    @property
    def active(self) -> list[dict[str, Any]]:
        """The drills of the last booklet, as its manifest has them."""
        return list(self.manifest["drills"])

    @property
    def manifest(self) -> dict[str, Any]:
        path = self.folder / "out" / "ida" / "manifest.json"
        return dict(json.loads(path.read_text("utf-8")))

    def clean(self, drill: dict[str, Any], until: date) -> list[tuple[date, int]]:
        """The days and marks at which a drill was clean three times."""
        return [
            (day, mark) for day, id, mark, times in self.tried
            if id == drill["id"] and times >= 3 and day <= until
        ]  # fmt: skip

    def reached(self, drill: dict[str, Any], until: date) -> int | None:
        """The highest clean mark of the last day that has one."""
        clean = self.clean(drill, until)
        last = max((day for day, _ in clean), default=None)
        return max((mark for day, mark in clean if day == last), default=None)

    def read_back(self, lesson: int) -> None:
        """Hold manifest and pages of a booklet against the entries."""
        today = FIRST + lesson * WEEK
        manifest = self.manifest
        for passage in manifest["passages"]:
            same = passage["number"] == NUMBERS[passage["id"]]
            self.expect(same, f"{today}: {passage['id']} is number {passage['number']}")
        for drill in manifest["drills"]:
            self.boxes(drill, today)
        text = self.pages()
        self.news(text, lesson)
        self.plan(text, today)
        kept = sorted(each.name for each in (self.folder / "out/ida/lessons").glob("*"))
        days = [str(FIRST + n * WEEK) for n in range(lesson)]
        self.expect(kept == days, f"{today}: earlier lessons kept: {kept}")

    def boxes(self, drill: dict[str, Any], today: date) -> None:
        """Ticked up to what is reached, each with the first day of its mark or a higher one."""
        top = self.reached(drill, today)
        self.expect(drill["reached"] == top, f"{today}: {drill['id']}: {drill['reached']}, {top}")
        clean = self.clean(drill, today)
        days = [
            str(min(day for day, clean_mark in clean if clean_mark >= mark))
            if top and mark <= top else None
            for mark in drill["ladder"]
        ]  # fmt: skip
        found = drill["days"] or [None] * len(days)
        self.expect(found == days, f"{today}: {drill['id']}: {found}, not {days}")

    def pages(self) -> str:
        with pypdfium2.PdfDocument(self.folder / "out" / "ida" / "ida-student.pdf") as document:
            text = "\f".join(page.get_textpage().get_text_bounded() for page in document)
        return text.replace("\r\n", "\n")

    def news(self, text: str, lesson: int) -> None:
        """What is stuck, new and done is named; what moved, too."""
        page = next((each for each in text.split("\f") if "Since the lesson of" in each), "")
        self.expect(bool(page) == (lesson > 0), f"lesson {lesson}: a page of news: {bool(page)}")
        today, before = FIRST + lesson * WEEK, FIRST + (lesson - 1) * WEEK
        for index, drill in enumerate(self.active):
            if drill["family"] == "as-written":
                continue
            number = f"{NUMBERS[drill['passage']]}.{self.place(index)}"
            week = {day for day, id, _, _ in self.tried if id == drill["id"] and day > before}
            old, new = self.reached(drill, before) or 0, self.reached(drill, today) or 0
            moved, there = new > old, new == drill["ladder"][-1]
            stuck = len(week) >= 3 and not moved and not there
            line = next((n for n in page.split("\n") if n.startswith(number)), "")
            if moved:
                right = f"to {new}" in line or f"{new} for the first time" in line
                self.expect(right, f"{today}: {number} moved to {new}: {line!r}")
            if stuck:
                listed = re.search(rf"{re.escape(number)} .*no new mark", page, re.DOTALL)
                self.expect(bool(listed), f"{today}: {number} is stuck and not named")
            if not moved and not stuck:
                self.expect(not line, f"{today}: {number} is news: {line!r}")
        new_today = "New today" in page and f"{NUMBERS[LATE]} Measure" in page
        self.expect(new_today == (lesson == LATE_FROM), f"{today}: new: {new_today}")
        done_today = f"{NUMBERS[FINISHES]} Measure 1: done" in page
        self.expect(done_today == (lesson == FINISHED_AT), f"{today}: done: {done_today}")
        listed_done = f"{NUMBERS[FINISHES]} Measure 1: done" in text
        self.expect(listed_done == (lesson >= FINISHED_AT), f"{today}: done listed: {listed_done}")

    def place(self, index: int) -> int:
        """The number of a drill in its passage."""
        passage = self.active[index]["passage"]
        return [d["passage"] for d in self.active[:index]].count(passage)

    def plan(self, text: str, today: date) -> None:
        """Every day adds up, everything comes, and the last days are the piece's."""
        rows = list(self.rows(text, today))
        self.expect(len(rows) == (self.performance - today).days, f"{today}: {len(rows)} rows")
        for row in rows:
            minutes = sum(map(int, re.findall(r"(\d+)′", row)))
            rests = "rest" in row
            self.expect(minutes == (0 if rests else MINUTES), f"{today}: {minutes}: {row!r}")
        practice = [row for row in rows if "rest" not in row]
        for row in practice[-3:]:
            self.expect("whole piece" in row, f"{today}: no whole piece: {row!r}")
        if len(practice) > 12:
            for passage in {drill["passage"] for drill in self.active}:
                named = any(re.search(rf"\b{NUMBERS[passage]}\.\d", row) for row in practice[:6])
                self.expect(named, f"{today}: {passage} does not come in a week")
        whole = [row.count("whole piece") for row in practice]
        if len(whole) > 24:
            self.expect(sum(whole[-12:]) > sum(whole[:12]), f"{today}: run-throughs do not grow")

    def rows(self, text: str, today: date) -> Iterator[str]:
        """The rows of the plan, by their dates."""
        flat = text[text.index(f"{MINUTES} minutes a day, in short") :].replace("\n", " ")
        names = []
        day = today
        while day < self.performance:
            names.append(f"{day:%A} {day.day} {day:%B}")
            day += timedelta(days=1)
        at = [flat.find(name) for name in names]
        for n, start in enumerate(at):
            if start >= 0:
                end = at[n + 1] if n + 1 < len(at) else flat.find("\f", start)
                yield flat[start:end]


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lessons", type=int, default=12)
    parser.add_argument("--seeds", type=int, default=3)
    options = parser.parse_args()
    wrong = []
    for seed in range(options.seeds):
        with tempfile.TemporaryDirectory() as folder:
            term = Term(Path(folder), options.lessons, random.Random(seed))
            wrong += [f"seed {seed}: {each}" for each in term.play()]
    print(
        *wrong, f"{options.seeds} terms of {options.lessons} lessons, {len(wrong)} wrong", sep="\n"
    )
    return bool(wrong)


if __name__ == "__main__":
    sys.exit(main())
