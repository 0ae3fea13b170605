"""The shape of the code: imports point one way, libraries stay behind their doors, modules short.

Reads the syntax trees of ``engrave/`` and imports nothing of it.
"""

import ast
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = "engrave"

ARROWS = (
    ("__main__", "cli"),
    ("desk", "watch", "pipeline"),
    ("booklet", "survey"),
    ("sound", "engraver", "notation"),
    ("drills",),
    ("passage",),
    ("hands",),
    ("fingering",),
    ("log", "marks", "score"),
    ("messages",),
    ("words",),
    ("music",),
    ("machine", "errors"),
    ("remarks",),
)
"""Each unit may import itself, what stands to its right, and what stands on the lines below."""

DOORS = {
    "music21": {"score"},
    "converter21": {"score"},
    "verovio": {"engraver", "score"},
    "jinja2": {"booklet"},
    "weasyprint": {"booklet"},
    "pydyf": {"booklet"},
    "cssselect2": {"booklet"},
    "cffi": {"booklet"},
    "pikepdf": {"booklet"},
    "font_source_serif_pro": {"booklet"},
    "ruamel": {"marks"},
    "mido": {"sound"},
    "numpy": {"sound"},
    "soundfile": {"sound"},
    "watchfiles": {"watch"},
}
"""Which units may import a library; one that is not listed may be imported by nobody yet."""

LONGEST = 400
RANK = {unit: rank for rank, unit in enumerate(unit for line in ARROWS for unit in line)}


@dataclass(frozen=True)
class Import:
    """``module`` imports ``target`` at ``line``, when it loads (``eager``) or later."""

    module: str
    target: str
    line: int
    eager: bool

    def __str__(self) -> str:
        return f"{self.module}, line {self.line}: imports {self.target}"


def name_of(path: Path) -> str:
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


MODULES = {name_of(path): path for path in sorted((ROOT / PACKAGE).rglob("*.py"))}
TREES = {name: ast.parse(path.read_text("utf-8")) for name, path in MODULES.items()}


def unit_of(module: str) -> str:
    """``engrave.drills.rhythms`` belongs to the unit ``drills``; the package itself to none."""
    return module.partition(".")[2].partition(".")[0]


def is_for_types_alone(node: ast.AST) -> bool:
    return isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test)


def walk(node: ast.AST, eager: bool = True) -> Iterator[tuple[ast.AST, bool]]:
    for child in ast.iter_child_nodes(node):
        later = isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
        now = eager and not later and not is_for_types_alone(child)
        yield child, now
        yield from walk(child, now)


def targets_of(module: str, node: ast.AST) -> Iterator[str]:
    if isinstance(node, ast.Import):
        yield from (alias.name for alias in node.names)
    elif isinstance(node, ast.ImportFrom):
        base = node.module or ""
        if node.level:
            package = module if MODULES[module].name == "__init__.py" else module.rpartition(".")[0]
            ancestors = package.split(".")[: len(package.split(".")) - node.level + 1]
            base = ".".join([*ancestors, *filter(None, [node.module])])
        for alias in node.names:
            submodule = f"{base}.{alias.name}"
            yield submodule if submodule in MODULES else base


IMPORTS = [
    Import(module, target, node.lineno, eager)  # type: ignore[attr-defined]
    for module, tree in TREES.items()
    for node, eager in walk(tree)
    for target in targets_of(module, node)
]
OURS = [each for each in IMPORTS if each.target.partition(".")[0] == PACKAGE]
FOREIGN = [
    each
    for each in IMPORTS
    if each.target.partition(".")[0] not in {PACKAGE, *sys.stdlib_module_names}
]


SCORE = {
    "formats": set[str](),
    "building": {"formats"},
    "cutting": set[str](),
    "second_reading": {"formats"},
}
"""Which of its own packages each of ``score``'s may import; what stands beside them all may."""


def test_what_reads_scores_knows_nothing_of_what_is_made_of_them() -> None:
    def package_of(module: str) -> str:
        return module.removeprefix("engrave.score.").partition(".")[0]

    inside = ((each, package_of(each.module), package_of(each.target)) for each in OURS)
    against = [
        str(each)
        for each, knows, known in inside
        if {knows, known} <= set(SCORE) and known not in {knows, *SCORE[knows]}
    ]
    assert against == []


def test_there_is_something_to_walk() -> None:
    assert len(MODULES) > 5
    assert any(each.target == "engrave.music.sheet" for each in OURS)


def test_every_unit_has_its_place_in_the_arrows() -> None:
    assert {unit_of(module) for module in MODULES} - {""} <= set(RANK)


def test_imports_point_one_way() -> None:
    against = [
        str(each)
        for each in OURS
        if {unit_of(each.module), unit_of(each.target)} <= set(RANK)
        and RANK[unit_of(each.module)] > RANK[unit_of(each.target)]
    ]
    assert against == []


def test_no_module_imports_itself_by_a_detour() -> None:
    reached: dict[str, set[str]] = {module: set() for module in MODULES}
    for each in OURS:
        reached[each.module].add(each.target)
    for middle in MODULES:
        for start in MODULES:
            if middle in reached[start]:
                reached[start] |= reached[middle]
    assert [module for module in MODULES if module in reached[module]] == []


def test_libraries_stay_behind_their_doors() -> None:
    outside = [
        str(each)
        for each in FOREIGN
        if unit_of(each.module) not in DOORS.get(each.target.partition(".")[0], set())
    ]
    assert outside == []


def test_libraries_load_on_first_use() -> None:
    assert [str(each) for each in FOREIGN if each.eager] == []


def test_the_checks_share_no_code_with_what_they_check() -> None:
    checks = sorted((ROOT / "tests" / "checks").glob("*.py"))
    assert len(checks) > 10
    assert [path.name for path in checks if f"from {PACKAGE}" in path.read_text("utf-8")] == []


@pytest.mark.parametrize("module", MODULES)
def test_a_module_says_what_it_is(module: str) -> None:
    assert ast.get_docstring(TREES[module])


@pytest.mark.parametrize("module", MODULES)
def test_a_module_is_short(module: str) -> None:
    assert len(MODULES[module].read_text("utf-8").splitlines()) <= LONGEST
