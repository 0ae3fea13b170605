"""Wheel and sdist from a clean environment: built, installed, and used from another folder.

    python -m tests.first_day.packaging [--lowest] [PYTHON …]

It needs a package index, and a minute or two for every PYTHON (this one, unless others are named).
``--lowest`` installs what the wheel needs in the lowest versions that it says will do.
"""

import argparse
import re
import subprocess
import sys
import tarfile
import tempfile
import tomllib
import zipfile
from collections.abc import Iterator
from pathlib import Path

from engrave import __version__

ROOT = Path(__file__).resolve().parents[2]
PIP = ("-m", "pip", "--quiet", "--disable-pip-version-check")


def run(*command: object, cwd: Path) -> None:
    """Run a command; a failure ends all."""
    print(*command, flush=True)
    subprocess.run([str(each) for each in command], cwd=cwd, check=True)


def lowest() -> Iterator[str]:
    """The dependencies, each in the lowest version that ``pyproject.toml`` allows."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    for each in project["dependencies"]:
        found = re.match(r"([A-Za-z0-9._-]+)[>=]=([0-9.]+)", each)
        assert found, f"{each} has no lowest version"
        yield f"{found[1]}=={found[2]}"


def main() -> int:
    """Build both, look into both, install the wheel that the sdist makes, build the demo."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lowest", action="store_true")
    parser.add_argument("pythons", nargs="*", metavar="PYTHON", default=[sys.executable])
    asked = parser.parse_args()
    for python in asked.pythons:
        with tempfile.TemporaryDirectory() as name:
            _try(python, Path(name), [*lowest()] if asked.lowest else [])
    return 0


def _try(interpreter: str, folder: Path, pinned: list[str]) -> None:
    run(interpreter, "-m", "venv", folder / "env", cwd=folder)
    python = folder / "env/bin/python"
    run(python, *PIP, "install", "build", cwd=folder)
    run(python, "-m", "build", "--outdir", folder / "dist", ROOT, cwd=folder)  # wheel of sdist
    (wheel,) = (folder / "dist").glob("*.whl")
    (sdist,) = (folder / "dist").glob("*.tar.gz")
    _look(set(zipfile.ZipFile(wheel).namelist()), "engrave/py.typed", "engrave/demo/tam.yaml")
    with tarfile.open(sdist) as held:
        inside = {each.partition("/")[2] for each in held.getnames()}
    _look(
        inside,
        "engrave/py.typed",
        "scores/tam.yaml",
        "templates/messages/de.toml",
        "templates/reference/engrave.1",
    )
    run(python, *PIP, "install", wheel, *pinned, cwd=folder)
    engrave, elsewhere = folder / "env/bin/engrave", folder / "elsewhere"
    elsewhere.mkdir()
    said = subprocess.check_output([engrave, "--version"], text=True, cwd=elsewhere)
    assert said.split() == ["engrave", __version__], said
    run(engrave, "demo", cwd=elsewhere)
    run(engrave, "build", "demo/lantern-rondo.yaml", "demo/tam.yaml", cwd=elsewhere)
    for student in ("lantern-rondo", "tam"):
        assert (elsewhere / f"output/{student}/{student}-student.pdf").stat().st_size > 20_000
    run(engrave, "help", "marks", cwd=elsewhere)
    assert (folder / "env/share/man/man1/engrave.1").stat().st_size > 4000
    version = subprocess.check_output([python, "--version"], text=True).strip()
    with_what = ", the lowest versions" if pinned else ""
    print(f"the package works from another folder ({version}{with_what})", flush=True)


def _look(names: set[str], *wanted: str) -> None:
    missing = [each for each in wanted if each not in names]
    assert not missing, missing


if __name__ == "__main__":
    sys.exit(main())
