"""What processes at work leave behind when they are killed, and who takes it away."""

import os
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from engrave.machine.workers import clear_of_dead


@pytest.mark.skipif(os.name != "posix", reason="elsewhere no process can be asked")
def test_folders_of_dead_processes_go_and_all_others_stay(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    with subprocess.Popen([sys.executable, "-c", ""]) as ended:
        ended.wait()
    dead, alive, strange, other = (
        tmp_path / name
        for name in (
            f"engrave-at-work-{ended.pid}-x",
            f"engrave-at-work-{os.getpid()}-x",
            "engrave-at-work-notes-x",
            f"{ended.pid}-x",
        )
    )
    for folder in (dead, alive, strange, other):
        folder.mkdir()
        (folder / "page.png").write_bytes(b"1")
    clear_of_dead()
    assert sorted(tmp_path.iterdir()) == sorted([alive, strange, other])
