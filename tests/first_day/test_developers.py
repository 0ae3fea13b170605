"""DEVELOPERS.md names files, commands and code that are there."""

import re
from importlib.util import find_spec
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PAGE = (ROOT / "DEVELOPERS.md").read_text("utf-8")
TRIAL = ("under_tempo", "under-tempo", "UnderTempo")
"""What the recipe adds."""
PLACES = (ROOT, ROOT / "tests/drills")
FILES = sorted(
    {
        name
        for name in re.findall(r"`([\w./-]+(?:/|\.(?:py|toml|md|html|1)))`", PAGE)
        if not any(trial in name for trial in TRIAL)
    }
)
MODULES = sorted(set(re.findall(r"python -m ([\w.]+)", PAGE)))
RECIPE = PAGE.partition("## Adding a drill family")[2].partition("\n## ")[0]
NAMES = sorted(
    {
        name
        for name in re.findall(r"`([A-Za-z_]\w+)(?:\.\w+)?`", RECIPE)
        if not any(trial in name for trial in TRIAL)
    }
)


@pytest.mark.parametrize("name", FILES)
def test_every_file_is_there(name: str) -> None:
    """From the top, from anywhere in the package, or beside the tests that the recipe names."""
    inside = (ROOT / "engrave").rglob(name)
    assert any((place / name).exists() for place in PLACES) or any(inside)


@pytest.mark.parametrize("name", MODULES)
def test_every_command_is_there(name: str) -> None:
    found = find_spec(name)
    assert found is not None
    if not (found.submodule_search_locations and find_spec(f"{name}.__main__")):
        assert '__name__ == "__main__"' in Path(str(found.origin)).read_text("utf-8")


@pytest.mark.parametrize("name", NAMES)
def test_every_name_of_the_recipe_is_in_the_code(name: str) -> None:
    files = [*(ROOT / "engrave").rglob("*.py"), *(ROOT / "tests").glob("*.py")]
    word = re.compile(rf"\b{name}\b")
    stems = {file.stem for file in files}
    assert name in stems or any(word.search(file.read_text("utf-8")) for file in files)
