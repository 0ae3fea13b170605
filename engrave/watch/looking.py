"""Word of every save in a folder, also after the folder has gone and come again.

Enters: a folder. Leaves: a call for every save. Knows nothing of what is saved.
"""

from collections.abc import Callable
from pathlib import Path
from threading import Event


def look_around(folder: Path, saved: Callable[[], None], ended: Event) -> None:
    """Call ``saved`` after every save in ``folder`` of a file in sight, until ``ended``."""
    from watchfiles import watch as changes

    while not ended.is_set():
        if not folder.is_dir():
            ended.wait(0.5)
            continue
        for changed in changes(
            folder, debounce=200, step=20, rust_timeout=500, yield_on_timeout=True, recursive=False
        ):
            if ended.is_set() or not folder.is_dir():
                break
            if any(not Path(path).name.startswith(".") for _kind, path in changed):
                saved()
