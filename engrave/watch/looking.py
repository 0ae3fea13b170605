"""Word of every save in some folders, also after one has gone and come again.

Enters: folders. Leaves: a moment for every save. Knows nothing of what is saved.
"""

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Event

DEBOUNCE_MS = 200
"""Saves that follow each other at once are one, for at most this long."""
STEP_MS = 15
LOOK_MS = 500


def saves(folders: Callable[[], set[Path]], ended: Event) -> Iterator[None]:
    """Now, and after every save of a file in sight in ``folders()``, until ``ended``.

    Now and then where nothing was saved: what falls between two looks is not to be missed.
    """
    from watchfiles import watch as changes

    while not ended.is_set():
        yield
        watched = {folder for folder in folders() if _is_open(folder)}
        if not watched:  # gone or closed, but may come again
            ended.wait(LOOK_MS / 1000)
            continue
        is_missed = True  # a save between the last moment and the first look
        for changed in changes(
            *watched,
            watch_filter=_is_in_sight,
            debounce=DEBOUNCE_MS,
            step=STEP_MS,
            rust_timeout=LOOK_MS,
            yield_on_timeout=True,
            recursive=False,
        ):
            if ended.is_set():
                return
            if changed or is_missed:
                yield
            is_missed = False
            if not folders() <= watched or not all(map(_is_open, watched)):
                break


def _is_open(folder: Path) -> bool:
    return os.access(folder, os.R_OK | os.X_OK) and folder.is_dir()


def _is_in_sight(_: object, path: str) -> bool:
    return not Path(path).name.startswith(".")
