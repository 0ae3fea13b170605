"""One broken input sent through the whole command, and what must hold of it.

Exit code 0 or 2; every line of what is told in the agreed form; 2 with an error and 0 without; no
exception; what stood in the output folder stands there as it was, or the new build does, whole.
"""

import json
import random
import shutil
from dataclasses import dataclass
from pathlib import Path

from tests.checks.manifest import manifest_findings, read_output
from tests.robustness.broken_marks import broken_marks
from tests.robustness.broken_scores import broken_score
from tests.robustness.desk_trial import desk_problem
from tests.robustness.log_trial import log_problem
from tests.robustness.telling import run, wrongly_told
from tests.works import DEMO

KINDS = ("marks", "score", "log", "desk")


@dataclass(frozen=True, slots=True)
class Case:
    """One broken input: of which of ``KINDS``, and the seed that makes it again."""

    kind: str
    seed: int

    def run(self, folder: Path, with_more: bool) -> tuple[str, str]:
        """How far it came, and what went wrong; ``with_more``: build, check, or draw as well."""
        chance = random.Random(f"{self.kind}-{self.seed}")
        if self.kind in _TRIALS:
            return _TRIALS[self.kind](folder / "in", chance, with_more)
        marks, score = self._laid(folder / "in")
        came, wrong = problem(marks, folder / "out", with_more)
        if self.kind == "score" and with_more and not wrong:
            wrong = first_marks_problem(score)
        return came, wrong

    def write(self, folder: Path) -> Path:
        """Lay it into ``folder``; returns the marks file."""
        return self._laid(folder)[0]

    def _laid(self, folder: Path) -> tuple[Path, Path]:
        chance = random.Random(f"{self.kind}-{self.seed}")
        folder.mkdir(parents=True, exist_ok=True)
        marks = folder / "marks.yaml"
        if self.kind == "marks":
            score = Path(shutil.copy(DEMO.score, folder))
            marks.write_bytes(broken_marks(chance))
        else:
            name, data, tree = broken_score(chance)
            score = folder / name
            score.write_bytes(data)
            marks.write_text(as_json(tree), "utf-8")
        return marks, score


_TRIALS = {"log": log_problem, "desk": desk_problem}


def as_json(tree: object) -> str:
    """The tree as JSON, an entry a line, so that a kept case can be read."""
    return json.dumps(tree, indent=1, ensure_ascii=False) + "\n"


def problem(marks: Path, out: Path, with_build: bool) -> tuple[str, str]:
    """How far ``marks`` came, and what went wrong on the way, empty where nothing did."""
    code, told = run(["check", str(marks)])
    wrong = wrongly_told(code, told)
    if wrong or code or not with_build:
        return {0: "passed", 2: "refused"}.get(code, "failed"), wrong
    before = _standing(out)
    code, told = run(["build", str(marks), "--out", str(out)])
    wrong = wrongly_told(code, told)
    if not wrong and code == 0:
        wrong = "; ".join(manifest_findings(read_output(out / marks.stem)))
        if {each.name for each in out.iterdir()} != {marks.stem}:
            wrong += "; something stands beside the output"
    if not wrong and code == 2 and _standing(out) != before:
        wrong = "refused, but the output is not as it was"
    return {0: "built", 2: "not built"}.get(code, "failed"), wrong


def first_marks_problem(score: Path) -> str:
    """What goes wrong where ``score`` is surveyed and marked anew, empty where nothing does.

    Marks that the tool writes itself it takes.
    """
    marks = score.with_name("new.yaml")
    marks.unlink(missing_ok=True)
    for command in (["survey", str(score)], ["new", str(score), "--out", str(marks)]):
        code, told = run(command)
        if wrong := wrongly_told(code, told):
            return f"{command[0]}: {wrong}"
    if not marks.exists():
        return ""
    code, told = run(["check", str(marks)])
    return wrongly_told(code, told) or ("" if code == 0 else f"the marks of new: {told}")


def _standing(out: Path) -> list[tuple[str, int, int]]:
    found = ((each, each.stat()) for each in sorted(out.rglob("*")))
    return [(str(path), status.st_size, status.st_mtime_ns) for path, status in found]
