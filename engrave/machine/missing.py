"""A file that is not there, and what may be meant instead.

Enters: the path that was named, and the endings that fit. Leaves: a hint for whoever named it.
Looks at the names in one folder, never into a file.
"""

import os
from collections.abc import Collection
from difflib import get_close_matches
from pathlib import Path

MOST_LISTED = 5
_OTHER = ".log.yaml"
"""What files end in that are of another kind than their last ending says."""


def instead(path: Path, endings: Collection[str]) -> str:
    """What to name instead of ``path``: a file of a like name, those that lie there, or a kind."""
    folder = path.parent
    names = _names(folder, endings)
    if (near := _near(path, names)) is not None:
        return f"did you mean {str(folder / near)!r}?"
    where = "this folder" if str(folder) == "." else f"the folder {folder}"
    if not os.path.isdir(folder):  # also where it may not be looked at
        return f"there is no folder {folder}"
    if not names:
        return f"no file in {where} ends in {', '.join(endings)}"
    more = " …" if len(names) > MOST_LISTED else ""
    return f"in {where} lie: {', '.join(names[:MOST_LISTED])}{more}"


def _names(folder: Path, endings: Collection[str]) -> list[str]:
    """The files of these endings, without those that have another in front: ``nell.log.yaml``."""
    try:
        names = [each.name for each in folder.iterdir() if each.is_file()]
    except OSError:
        return []
    fitting = [name for name in names if name.lower().endswith(tuple(endings))]
    own = [name for name in fitting if not name.endswith(_OTHER) or _OTHER in endings]
    return sorted(own)


def _near(path: Path, names: Collection[str]) -> str | None:
    by_stem = {Path(name).stem.lower(): name for name in names}
    stem = path.stem.lower()
    near = get_close_matches(stem, by_stem, n=1, cutoff=0.7)
    begun = [name for each, name in by_stem.items() if len(stem) > 2 and each.startswith(stem)]
    return by_stem[near[0]] if near else (begun[0] if len(begun) == 1 else None)
