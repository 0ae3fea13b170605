"""The recipe for a new drill family, followed to the letter in a copy of the project.

Takes the blocks that stand in DEVELOPERS.md, puts them where it says, and builds with the result.
"""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path
from textwrap import dedent

import pytest

from tests.pipeline.demo import NAME, SCORES

ROOT = Path(__file__).resolve().parents[2]
RECIPE = (ROOT / "DEVELOPERS.md").read_text("utf-8").partition("## Adding a drill family")[2]
BLOCK = re.compile(r"`([\w/.]+)`:\n\n( *)```\w+\n(.*?)\n *```", re.DOTALL)
BLOCKS = {found[1]: dedent(found[3]) + "\n" for found in BLOCK.finditer(RECIPE)}
MARKS = """\
score: lantern-rondo.musicxml
language: {language}
tempo: {{beat: quarter, goal: 96}}
passages:
  - measures: 1-2
    drills: [under-tempo: {{part: 3}}]
"""


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("copy")
    for name in ("engrave", "templates"):
        shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(SCORES / f"{NAME}.musicxml", folder)
    for name, block in BLOCKS.items():
        if name.endswith(".toml"):
            add_words(folder / name, block)
        else:
            (folder / name).write_text(block, "utf-8")
    families = folder / "engrave/drills/__init__.py"
    text = families.read_text("utf-8")
    listed = text.replace("    staccato,\n", "    staccato,\n    under_tempo,\n", 1)
    listed = listed.replace("staccato.FAMILY,\n", "staccato.FAMILY,\n    under_tempo.FAMILY,\n", 1)
    families.write_text(listed, "utf-8")
    return folder


def add_words(file: Path, block: str) -> None:
    """The block's tables, each under its heading where there is one already."""
    text = file.read_text("utf-8")
    for table in re.split(r"(?m)^(?=\[)", block)[1:]:
        head, _, lines = table.partition("\n")
        before, found, after = text.partition(f"{head}\n")
        text = f"{before}{found}{lines}{after}" if found else f"{text}\n{table}"
    file.write_text(text, "utf-8")


def environment(copy: Path) -> dict[str, str]:
    """In which the copy is what is imported, whatever else is installed."""
    return {**os.environ, "PYTHONPATH": str(copy)}


def test_the_recipe_touches_a_module_and_the_words() -> None:
    assert [Path(name).suffix for name in BLOCKS] == [".py"] + 5 * [".toml"]


def test_a_family_added_by_the_recipe_is_built(copy: Path) -> None:
    (copy / "marks.yaml").write_text(MARKS.format(language="de"), "utf-8")
    command = [sys.executable, "-m", "engrave", "build", "marks.yaml", "--out", "out"]
    done = subprocess.run(
        [*command, "--no-cache"], cwd=copy, env=environment(copy), capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    made = sorted(path.name for path in (copy / "out").rglob("*.under-tempo.*.musicxml"))
    assert made == [f"m1-2.under-tempo.part-3.{hand}.musicxml" for hand in ("left", "right")]


def test_a_mistake_in_its_options_is_told_where_it_stands(copy: Path) -> None:
    text = MARKS.format(language="en").replace("part: 3", "part: 9")
    (copy / "wrong.yaml").write_text(text, "utf-8")
    command = [sys.executable, "-m", "engrave", "check", "wrong.yaml"]
    done = subprocess.run(command, cwd=copy, env=environment(copy), capture_output=True, text=True)
    assert done.returncode == 2
    assert "wrong.yaml:6:34: error: the part cannot be 9" in done.stderr
    (copy / "wrong.yaml").write_text(text.replace("language: en", "language: de"), "utf-8")
    done = subprocess.run(command, cwd=copy, env=environment(copy), capture_output=True, text=True)
    assert "Fehler: der Teiler kann nicht 9 sein" in done.stderr


def test_the_reference_explains_its_options(copy: Path) -> None:
    command = [sys.executable, "-m", "engrave", "help", "marks"]
    for language, said in (("en", "what the goal is divided by"), ("de", "das Zieltempo geteilt")):
        inside = environment(copy) | {"LC_ALL": f"{language}_DE.UTF-8"}
        done = subprocess.run(command, cwd=copy, env=inside, capture_output=True, text=True)
        assert done.returncode == 0, done.stderr
        assert said in done.stdout
