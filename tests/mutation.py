"""What the tests of a unit notice: one small change at a time, and the share that fails a test.

    python -m tests.mutation --unit drills --seed 1 --number 80

Needs ``pip install cosmic-ray``, whose operators make the changes; places are drawn evenly from a
unit's modules by the seed. Each change lives in a copy of this process: the file is not touched,
the libraries are loaded once, and only the unit's own tests are run, until the first failure. What
survives is printed as a difference, to be read: it needs a test, or changes nothing that counts.
"""

import argparse
import contextlib
import difflib
import importlib
import importlib.abc
import importlib.util
import os
import random
import signal
import sys
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from importlib.machinery import ModuleSpec
from pathlib import Path
from types import ModuleType

from tests.works import ROOT

UNITS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "drills": (("drills/**/*.py",), ("tests/drills",)),
    "tempo": (
        ("music/tempo.py", "music/tempo_words.py", "score/building/tempos.py"),
        ("tests/music", "tests/score/test_tempos.py"),
    ),
    "plan": (("booklet/plan.py",), ("tests/booklet/test_plan.py",)),
    # Not the weights (costs, learned): they are fitted, and held by handbooks and examples.
    "fingering": (("fingering/[!cl]*.py", "fingering/line.py"), ("tests/hand",)),
    "positions": (
        ("passage/positions.py", "passage/displacement.py", "passage/leaps.py", "passage/runs.py"),
        (
            *("tests/hand/test_positions.py", "tests/hand/test_leaps.py"),
            *("tests/drills/test_blocks.py", "tests/drills/test_leaps.py"),
            *("tests/drills/test_runs.py", "tests/drills/test_outline.py"),
        ),
    ),
    "notation": (("notation/*.py",), ("tests/notation",)),
    "cutting": (
        ("score/cutting/*.py",),
        (
            *("tests/score/test_cutting_parts.py", "tests/score/test_cut.py"),
            *("tests/score/test_ties.py", "tests/score/test_cut_works.py"),
        ),
    ),
}
"""By unit: its modules below ``engrave``, and where its tests stand."""

LOADED = ("music21", "partitura", "hypothesis", "lxml.etree", "musicxml", "xmlschema", "verovio")
"""What most tests load, loaded before the copies are made; nothing of ours."""

OPERATORS = (
    "Add_Sub", "Sub_Add", "Mul_Div", "Div_Mul", "FloorDiv_Mul", "Mod_Sub",
    "Eq_NotEq", "NotEq_Eq", "Lt_LtE", "LtE_Lt", "Gt_GtE", "GtE_Gt", "Lt_GtE", "Gt_LtE",
    "Is_IsNot", "IsNot_Is", "USub_UAdd", "Delete_Not",
    "AddNot", "ReplaceTrueWithFalse", "ReplaceFalseWithTrue", "ReplaceAndWithOr",
    "ReplaceOrWithAnd", "ReplaceBreakWithContinue", "ReplaceContinueWithBreak", "NumberReplacer",
    "ZeroIterationForLoop",
)  # fmt: skip
"""Changes that may pass for code; those that can only raise a TypeError flatter the tests."""

DECLARED = ("@dataclass", "strict=True")
"""Lines with these only forbid what nothing does: without them everything goes on as before."""

SLOWEST = 240
"""Seconds after which a change counts as noticed: the tests no longer end."""


@dataclass(frozen=True, slots=True)
class Mutant:
    """A module with one change in it."""

    path: Path
    operator: str
    line: int
    before: str
    after: str

    @property
    def module(self) -> str:
        """The name under which the changed module is imported."""
        parts = self.path.relative_to(ROOT).with_suffix("").parts
        return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)

    @property
    def change(self) -> str:
        """The lines that differ."""
        lines = difflib.unified_diff(
            self.before.splitlines(), self.after.splitlines(), lineterm="", n=1
        )
        return "\n".join(f"    {line}" for line in list(lines)[3:])


class Changed(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Imports one module from a changed text, as if it stood in its file."""

    def __init__(self, mutant: Mutant) -> None:
        self.mutant = mutant

    def find_spec(
        self, fullname: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        if fullname != self.mutant.module:
            return None
        return importlib.util.spec_from_file_location(fullname, self.mutant.path, loader=self)

    def exec_module(self, module: ModuleType) -> None:
        exec(compile(self.mutant.after, str(self.mutant.path), "exec"), module.__dict__)


def places(path: Path) -> Iterator[tuple[tuple[int, int], str, int]]:
    """Every change that can be made to a file: where, by which operator, its how manieth."""
    from cosmic_ray.ast import ast_nodes, get_ast
    from cosmic_ray.plugins import get_operator, operator_names

    nodes = list(ast_nodes(get_ast(path.read_text("utf-8"))))
    for name in sorted(operator_names()):
        if name.endswith(OPERATORS) and "BitOr" not in name:
            operator = get_operator(name)()
            found = [start for node in nodes for start, _ in operator.mutation_positions(node)]
            for nth, start in enumerate(found):
                yield start, name, nth


def sample(unit: str, seed: int, number: int) -> list[Mutant]:
    """So many changes to a unit: places drawn evenly, one change at each."""
    from cosmic_ray.mutating import mutate_code
    from cosmic_ray.plugins import get_operator

    globs, _ = UNITS[unit]
    paths = sorted({path for glob in globs for path in (ROOT / "engrave").glob(glob)})
    there: dict[tuple[Path, tuple[int, int]], list[tuple[str, int]]] = {}
    for path in paths:
        lines = path.read_text("utf-8").splitlines()
        for start, name, nth in places(path):
            if not any(each in lines[start[0] - 1] for each in DECLARED):
                there.setdefault((path, start), []).append((name, nth))
    draw = random.Random(seed)
    mutants = []
    for path, start in draw.sample(sorted(there), min(number, len(there))):
        name, nth = draw.choice(there[path, start])
        before = path.read_text("utf-8")
        after = mutate_code(before, get_operator(name)(), nth)
        assert after is not None
        assert after != before
        mutants.append(Mutant(path, name.removeprefix("core/"), start[0], before, after))
    return sorted(mutants, key=lambda each: (each.path, each.line))


def files_of(unit: str, path: Path | None) -> list[str]:
    """The unit's test files, those named like the changed module first."""
    files = [
        file
        for each in UNITS[unit][1]
        for file in (sorted((ROOT / each).glob("test_*.py")) or [ROOT / each])
        if file.exists()
    ]
    stems = {path.stem, path.parent.name} if path else set()
    stems |= {stem.rstrip("s") for stem in stems}
    files.sort(key=lambda file: not any(stem in file.stem for stem in stems))
    return [str(file) for file in files]


def passes(mutant: Mutant | None, tests: Sequence[str]) -> bool:
    """Whether the tests pass with the change, in a copy of the process."""
    child = os.fork()
    if not child:
        code = 1
        try:
            os.setsid()
            signal.alarm(SLOWEST)
            silent = os.open(os.devnull, os.O_WRONLY)
            os.dup2(silent, 1)
            os.dup2(silent, 2)
            os.environ["HYPOTHESIS_PROFILE"] = "once"
            if mutant:
                sys.meta_path.insert(0, Changed(mutant))
            import pytest

            code = int(pytest.main(["-x", "-q", "-p", "no:cacheprovider", *tests]))
        finally:
            os._exit(code)
    _, status = os.waitpid(child, 0)
    with contextlib.suppress(ProcessLookupError):
        os.killpg(child, signal.SIGKILL)
    return status == 0


def main() -> None:
    """Print each change that survives, and the share that did not."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--unit", choices=sorted(UNITS), action="append")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--number", type=int, default=80)
    asked = parser.parse_args()
    os.chdir(ROOT)
    for name in LOADED:
        importlib.import_module(name)
    for unit in asked.unit or sorted(UNITS):
        began = time.monotonic()
        if not passes(None, files_of(unit, None)):
            raise SystemExit(f"{unit}: its tests fail without any change")
        mutants = sample(unit, asked.seed, asked.number)
        survived = 0
        for mutant in mutants:
            if passes(mutant, files_of(unit, mutant.path)):
                survived += 1
                where = mutant.path.relative_to(ROOT)
                print(f"{where}:{mutant.line}: {mutant.operator}\n{mutant.change}", flush=True)
        share = 1 - survived / len(mutants)
        took = time.monotonic() - began
        figures = f"{len(mutants)} changes, {survived} survived, {share:.0%} noticed"
        print(f"{unit}: {figures}, {took:.0f} s", flush=True)


if __name__ == "__main__":
    main()
