"""One broken input sent through the whole command, and what must hold of it.

Exit code 0 or 2; every line of what is told in the agreed form; 2 with an error and 0 without; no
exception; what stood in the output folder stands there as it was, or the new build does, whole.
"""

import contextlib
import io
import json
import random
import re
import shutil
import traceback
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from engrave.cli import main as engrave
from tests.checks.manifest import manifest_findings, read_output
from tests.robustness.broken_marks import broken_marks
from tests.robustness.broken_scores import broken_score
from tests.works import DEMO

LINE = re.compile(r"(\S.*: )?(error|warning): \S.*|  hint: \S.*")


@dataclass(frozen=True, slots=True)
class Case:
    """One broken input: ``marks`` or ``score``, and the seed that makes it again."""

    kind: str
    seed: int

    def write(self, folder: Path) -> Path:
        """Lay it into ``folder``; returns the marks file."""
        chance = random.Random(f"{self.kind}-{self.seed}")
        folder.mkdir(parents=True, exist_ok=True)
        marks = folder / "marks.yaml"
        if self.kind == "marks":
            shutil.copy(DEMO.score, folder)
            marks.write_bytes(broken_marks(chance))
        else:
            name, data, tree = broken_score(chance)
            (folder / name).write_bytes(data)
            marks.write_text(as_json(tree), "utf-8")
        return marks


def as_json(tree: object) -> str:
    """The tree as JSON, an entry a line, so that a kept case can be read."""
    return json.dumps(tree, indent=1, ensure_ascii=False) + "\n"


def problem(marks: Path, out: Path, with_build: bool) -> tuple[str, str]:
    """How far ``marks`` came, and what went wrong on the way, empty where nothing did."""
    code, told = run(["check", str(marks)])
    wrong = _wrongly_told(code, told)
    if wrong or code or not with_build:
        return {0: "passed", 2: "refused"}.get(code, "failed"), wrong
    before = _standing(out)
    code, told = run(["build", str(marks), "--out", str(out)])
    wrong = _wrongly_told(code, told)
    if not wrong and code == 0:
        wrong = "; ".join(manifest_findings(read_output(out / marks.stem)))
        if {each.name for each in out.iterdir()} != {marks.stem}:
            wrong += "; something stands beside the output"
    if not wrong and code == 2 and _standing(out) != before:
        wrong = "refused, but the output is not as it was"
    return {0: "built", 2: "not built"}.get(code, "failed"), wrong


def _wrongly_told(code: int, told: str) -> str:
    if code not in (0, 2):
        return told or f"exit code {code} without a word"
    odd = next((line for line in told.splitlines() if not LINE.fullmatch(line)), None)
    if odd is not None:
        return f"a line of another form: {odd!r}"
    if (code == 2) is not (re.search(r"^(.*: )?error: ", told, re.MULTILINE) is not None):
        return f"exit code {code}, and told: {told!r}"
    return ""


def _standing(out: Path) -> list[tuple[str, int, int]]:
    found = ((each, each.stat()) for each in sorted(out.rglob("*")))
    return [(str(path), status.st_size, status.st_mtime_ns) for path, status in found]


def run(arguments: Sequence[str]) -> tuple[int, str]:
    """The exit code and what was told; -1 with a traceback where something escaped."""
    told = io.StringIO()
    try:
        with contextlib.redirect_stderr(told), contextlib.redirect_stdout(io.StringIO()):
            return engrave(arguments), told.getvalue()
    except (Exception, SystemExit):
        return -1, traceback.format_exc(limit=-4)
