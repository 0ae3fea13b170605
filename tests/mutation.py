"""What the tests of a unit notice: one small change at a time, and the share that fails a test.

    python -m tests.mutation --unit drills --seed 1 --number 80
    python -m tests.mutation --unit fingering --only moves.py --number 9999

Needs ``pip install cosmic-ray``, whose operators make the changes; places are drawn evenly from a
unit's modules by the seed. Each change lives in a copy of this process: the file is not touched,
the libraries are loaded once, and only the unit's own tests are run, until the first failure: first
those that go through the changed function, the quickest first, then all others. What survives is
printed as a difference, to be read: it needs a test, or changes nothing that counts.
"""

import argparse
import ast
import contextlib
import difflib
import importlib
import importlib.abc
import importlib.util
import os
import random
import signal
import sys
import tempfile
import time
from collections.abc import Callable, Generator, Iterator, Sequence
from dataclasses import dataclass
from importlib.machinery import ModuleSpec
from pathlib import Path
from types import FrameType, ModuleType

import pytest

from tests.works import ROOT

UNITS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "drills": (("drills/**/*.py",), ("tests/drills",)),
    "tempo": (
        ("music/tempo.py", "music/tempo_words.py", "score/building/tempos.py"),
        ("tests/music", "tests/score/test_tempos.py"),
    ),
    "plan": (("booklet/plan.py",), ("tests/booklet/test_plan.py",)),
    # Not the weights (costs, learned): they are fitted, and held by handbooks and examples.
    "fingering": (
        ("fingering/[!cl]*.py", "fingering/c[!o]*.py", "fingering/li*.py"),
        ("tests/hand",),
    ),
    "positions": (
        ("passage/positions.py", "passage/displacement.py", "passage/leaps.py", "passage/runs.py"),
        (
            *("tests/hand/test_positions.py", "tests/hand/test_leaps.py"),
            *("tests/drills/test_blocks.py", "tests/drills/test_leaps.py"),
            *("tests/drills/test_runs.py", "tests/drills/test_outline.py"),
            *("tests/drills/test_runs_on_paper.py", "tests/drills/test_hands_on_paper.py"),
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
    "log": (("log/*.py",), ("tests/log",)),
    # Not the tone, whose figures are set by ear.
    "sound": (("sound/[!t]*.py",), ("tests/sound",)),
    "marks": (("marks/*.py",), ("tests/marks", "tests/hands/test_marked_hands.py")),
    # Not the weights of its fingers, which are fitted.
    "survey": (
        ("survey/[!f]*.py", "survey/fingers.py", "survey/findings/*.py"),
        ("tests/survey",),
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

DECLARED = ("@dataclass", "strict=True", "TYPE_CHECKING", "lru_cache(maxsize")
"""Lines with these forbid what nothing does, or say how much is remembered: without them, or with
other figures, everything goes on as before."""

SLOWEST = 240
"""Seconds after which a change counts as noticed, whatever is waited for."""


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


def sample(unit: str, seed: int, number: int, only: Sequence[str] = ()) -> list[Mutant]:
    """So many changes to a unit, or to some files of it: drawn evenly, one change at a place."""
    from cosmic_ray.mutating import mutate_code
    from cosmic_ray.plugins import get_operator

    globs, _ = UNITS[unit]
    paths = sorted({path for glob in globs for path in (ROOT / "engrave").glob(glob)})
    if only:
        paths = [path for path in paths if path.name in only]
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


def tests_of(unit: str) -> list[str]:
    """The unit's test files."""
    return [
        str(file)
        for each in UNITS[unit][1]
        for file in (sorted((ROOT / each).glob("test_*.py")) or [ROOT / each])
        if file.exists()
    ]


Function = tuple[str, int]
"""A file and the line on which a function in it begins."""


@dataclass(frozen=True, slots=True)
class Trail:
    """What one test went through of the project, and how many seconds it took."""

    functions: frozenset[Function]
    seconds: float


class Following:
    """Notes the trail of every test, and leaves them in a file for the process that asked."""

    def __init__(self, to: Path) -> None:
        self.to = to
        self.trails: dict[str, tuple[list[Function], float]] = {}

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Generator[None, bool, bool]:
        codes = set()

        def note(frame: FrameType, event: str, _: object) -> None:
            if event == "call":
                codes.add(frame.f_code)

        began = time.process_time()
        sys.setprofile(note)
        result = yield
        sys.setprofile(None)
        ours = [
            (code.co_filename, code.co_firstlineno)
            for code in codes
            if code.co_filename.startswith(str(ROOT / "engrave"))
        ]
        self.trails[item.nodeid] = ours, time.process_time() - began
        return result

    def pytest_sessionfinish(self) -> None:
        self.to.write_text(repr(self.trails), "utf-8")


@dataclass(frozen=True, slots=True)
class InOrder:
    """Has the tests run in the order of a key: untouched last, then by their seconds.

    One that takes ten times its processor seconds, and ten more, no longer ends: that is noticed.
    """

    key: Callable[[str], tuple[bool, float]]

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        items.sort(key=lambda item: self.key(item.nodeid))

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Generator[None, bool, bool]:
        _, seconds = self.key(item.nodeid)
        signal.setitimer(signal.ITIMER_PROF, 10 + 10 * seconds)
        result = yield
        signal.setitimer(signal.ITIMER_PROF, 0)
        return result


def telling_first(mutant: Mutant, trails: dict[str, Trail]) -> InOrder:
    """The tests that go through the changed function first, the quickest first."""
    functions = [
        range(
            min([node.lineno, *(each.lineno for each in node.decorator_list)]), node.end_lineno + 1
        )
        for node in ast.walk(ast.parse(mutant.before))
        if isinstance(node, ast.FunctionDef) and node.end_lineno
    ]
    around = [lines for lines in functions if mutant.line in lines]
    lines = min(around, key=len, default=range(1, len(mutant.before.splitlines()) + 1))

    def key(test: str) -> tuple[bool, float]:
        trail = trails[test]
        touched = any(file == str(mutant.path) and line in lines for file, line in trail.functions)
        return not touched, trail.seconds

    return InOrder(key)


def passes(mutant: Mutant | None, tests: Sequence[str], how: InOrder | Following) -> bool:
    """Whether the tests pass with the change, in a copy of the process."""
    child = os.fork()
    if not child:
        code = 1
        try:
            os.setsid()
            signal.alarm(SLOWEST if mutant else 0)
            silent = os.open(os.devnull, os.O_WRONLY)
            os.dup2(silent, 1)
            os.dup2(silent, 2)
            os.environ["HYPOTHESIS_PROFILE"] = "once"
            if mutant:
                sys.meta_path.insert(0, Changed(mutant))
            code = int(pytest.main(["-x", "-q", "-p", "no:cacheprovider", *tests], [how]))
        finally:
            os._exit(code)
    _, status = os.waitpid(child, 0)
    with contextlib.suppress(ProcessLookupError):
        os.killpg(child, signal.SIGKILL)
    return status == 0


def trails_of(unit: str) -> dict[str, Trail]:
    """What the tests of a unit go through, by their names, without any change."""
    with tempfile.TemporaryDirectory() as folder:
        to = Path(folder) / "trails"
        if not passes(None, tests_of(unit), Following(to)):
            raise SystemExit(f"{unit}: its tests fail without any change")
        noted = ast.literal_eval(to.read_text("utf-8"))
    return {test: Trail(frozenset(ours), seconds) for test, (ours, seconds) in noted.items()}


def main() -> None:
    """Print each change that survives, and the share that did not."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--unit", choices=sorted(UNITS), action="append")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--number", type=int, default=80)
    parser.add_argument("--only", metavar="FILE", action="append", help="of the unit, by name")
    asked = parser.parse_args()
    os.chdir(ROOT)
    for name in LOADED:
        importlib.import_module(name)
    for unit in asked.unit or sorted(UNITS):
        began = time.monotonic()
        trails = trails_of(unit)
        mutants = sample(unit, asked.seed, asked.number, asked.only or ())
        if not mutants:
            raise SystemExit(f"{unit}: no place to change in {', '.join(asked.only or ['it'])}")
        survived = 0
        for mutant in mutants:
            if passes(mutant, tests_of(unit), telling_first(mutant, trails)):
                survived += 1
                where = mutant.path.relative_to(ROOT)
                print(f"{where}:{mutant.line}: {mutant.operator}\n{mutant.change}", flush=True)
        share = 1 - survived / len(mutants)
        took = time.monotonic() - began
        figures = f"{len(mutants)} changes, {survived} survived, {share:.0%} noticed"
        print(f"{unit}: {figures}, {took:.0f} s", flush=True)


if __name__ == "__main__":
    main()
