"""Small disks that are full or locked; root alone may mount them."""

import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest


@contextmanager
def small_disk(folder: Path, size: str = "1m") -> Iterator[Path]:
    """A disk of that size at ``folder``; skips the test where none may be mounted."""
    folder.mkdir(parents=True, exist_ok=True)
    mount = ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(folder)]
    if subprocess.run(mount, capture_output=True).returncode:
        pytest.skip("only root may mount a small disk")
    try:
        yield folder
    finally:
        subprocess.run(["umount", "--lazy", str(folder)], check=True)


def fill(disk: Path) -> Path:
    """Take all that is left of it; returns the file that does."""
    rest = disk / "rest"
    with rest.open("wb", buffering=0) as file:
        try:
            while file.write(bytes(4096)):
                pass
        except OSError:
            return rest
    raise AssertionError("a disk without end")


@contextmanager
def read_only(disk: Path) -> Iterator[None]:
    """Let nobody write on it, not even root."""
    subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)
    try:
        yield
    finally:
        subprocess.run(["mount", "-o", "remount,rw", str(disk)], check=True)
