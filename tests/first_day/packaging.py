"""Wheel and sdist from a clean environment: built, installed, and used from another folder.

Run as ``python -m tests.first_day.packaging``; it needs a package index, and a minute or two.
"""

import subprocess
import sys
import tarfile
import tempfile
import venv
import zipfile
from pathlib import Path

from engrave import __version__

ROOT = Path(__file__).resolve().parents[2]
PIP = ("-m", "pip", "--quiet", "--disable-pip-version-check")


def run(*command: object, cwd: Path) -> None:
    """Run a command; a failure ends all."""
    print(*command, flush=True)
    subprocess.run([str(each) for each in command], cwd=cwd, check=True)


def main() -> int:
    """Build both, look into both, install the wheel that the sdist makes, build the demo."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        venv.create(folder / "env", with_pip=True)
        python = folder / "env/bin/python"
        run(python, *PIP, "install", "build", cwd=folder)
        run(python, "-m", "build", "--outdir", folder / "dist", ROOT, cwd=folder)  # wheel of sdist
        (wheel,) = (folder / "dist").glob("*.whl")
        (sdist,) = (folder / "dist").glob("*.tar.gz")
        _look(set(zipfile.ZipFile(wheel).namelist()), "engrave/py.typed", "engrave/demo/tam.yaml")
        with tarfile.open(sdist) as held:
            inside = {each.partition("/")[2] for each in held.getnames()}
        _look(inside, "engrave/py.typed", "scores/tam.yaml", "templates/messages/de.toml")
        run(python, *PIP, "install", wheel, cwd=folder)
        engrave, elsewhere = folder / "env/bin/engrave", folder / "elsewhere"
        elsewhere.mkdir()
        said = subprocess.check_output([engrave, "--version"], text=True, cwd=elsewhere)
        assert said.split() == ["engrave", __version__], said
        run(engrave, "demo", cwd=elsewhere)
        run(engrave, "build", "demo/lantern-rondo.yaml", "demo/tam.yaml", cwd=elsewhere)
        for student in ("lantern-rondo", "tam"):
            assert (elsewhere / f"output/{student}/{student}-student.pdf").stat().st_size > 20_000
        run(engrave, "help", "marks", cwd=elsewhere)
    print("the package works from another folder")
    return 0


def _look(names: set[str], *wanted: str) -> None:
    missing = [each for each in wanted if each not in names]
    assert not missing, missing


if __name__ == "__main__":
    sys.exit(main())
