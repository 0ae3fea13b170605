"""The demo in a folder of its own, to be edited and built."""

import shutil
from pathlib import Path

SCORES = Path(__file__).resolve().parents[2] / "scores"
NAME = "lantern-rondo"


def lay_out(folder: Path) -> Path:
    """Copy the demo's marks and score into ``folder``; returns the marks file."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in (f"{NAME}.musicxml", f"{NAME}.yaml", "nell.log.yaml"):
        shutil.copy(SCORES / name, folder)
    return folder / f"{NAME}.yaml"


def edit(path: Path, before: str, after: str) -> None:
    """Replace the one ``before`` in a file."""
    text = path.read_text("utf-8")
    assert text.count(before) == 1, before
    path.write_text(text.replace(before, after), "utf-8")


def files_of(folder: Path) -> dict[str, bytes]:
    """Everything in a folder, by its path below it."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }
