"""Real scores before the limits that keep readers from working for good: none may be refused.

``python -m tests.robustness.limits FOLDER …`` sends every file of a format that is read, of
music21's corpus and of the folders, as far as those limits go, which is before any note is read; of
a file with several parts all of them, though they be a choir's. ``--whole 50`` reads as many of
them to the end, drawn by ``--seed``, and counts the measures that are left out.
"""

import argparse
import random
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from unittest.mock import patch

from engrave.errors import EngraveError
from engrave.machine.endings import SCORES
from engrave.score import read_score
from engrave.score.formats import musicxml, readers, streams
from engrave.score.formats.parts import MOST_STAVES, PartEntry
from engrave.score.held import hold


class _Passed(Exception):
    """The limits lie behind."""


def corpus() -> list[Path]:
    """The files of music21's corpus that are of a format that is read."""
    from music21 import corpus as music21_corpus

    return sorted(p for p in map(Path, music21_corpus.getPaths()) if _is_read(p))


def _is_read(path: Path) -> bool:
    return path.suffix.lower() in SCORES


def refused(path: Path) -> str:
    """What is said where a file is refused before its notes are read, empty where it is not."""
    try:
        with _up_to_the_limits():
            held = hold(path)
            readers.read_raw(held.data, held.name, None, 1)
    except _Passed:
        return ""
    except EngraveError as error:
        return error.message
    raise AssertionError(f"{path} was read to its end")


@contextmanager
def _up_to_the_limits() -> Iterator[None]:
    """Whatever reads notes says instead that the limits lie behind."""

    def passed(*_: object, **__: object) -> None:
        raise _Passed

    with (
        patch.object(musicxml, "choose_part", _all_parts),
        patch.object(musicxml, "_part", passed),
        patch.object(readers, "read_kern", passed),
        patch.object(readers, "_abc", passed),
        patch.object(readers, "mei_scores", passed),
        patch.object(readers, "read_stream", passed),
    ):
        yield


def _all_parts(entries: Sequence[PartEntry], _asked: str | None, _file: str) -> list[PartEntry]:
    """In the place of the choice of a part: each is somebody's."""
    return list(entries)


def _first_part(entries: Sequence[PartEntry], _asked: str | None, _file: str) -> list[PartEntry]:
    return [each for each in entries if each.staves <= MOST_STAVES][:1]


def unread(path: Path) -> str:
    """What is said of a file that is read to its end: refused, or so many measures left out."""
    try:
        with (
            patch.object(musicxml, "choose_part", _first_part),
            patch.object(streams, "choose_part", _first_part),
        ):
            score = read_score(path)
    except EngraveError as error:
        return f"{error.message} ({error.hint[:120]})"
    left = [f"{score.sheet.bars[number].name}: {why}" for number, why in score.unread]
    return f"{len(left)} measures: {'; '.join(left[:3])}" if left else ""


def main() -> int:
    """Print what is refused, and how many were not."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folders", nargs="*", type=Path)
    parser.add_argument("--whole", type=int, default=0, metavar="N", help="read N to the end")
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    more = (path for folder in options.folders for path in sorted(folder.rglob("*")))
    paths = [*corpus(), *filter(_is_read, more)]
    said = _told(paths, refused)
    counts = Counter(path.suffix.lower() for path in paths)
    print(f"{len(paths)} files ({dict(counts)}): {said} refused before a note was read")
    drawn = random.Random(options.seed).sample(paths, min(options.whole, len(paths)))
    if drawn:
        print(f"{len(drawn)} read to the end: {_told(drawn, unread)} not, or not wholly")
    return 1 if said else 0


def _told(paths: Iterable[Path], ask: Callable[[Path], str]) -> int:
    count = 0
    for path in paths:
        if said := ask(path):
            count += 1
            print(f"{path.parent.name}/{path.name}: {said}", flush=True)
    return count


if __name__ == "__main__":
    sys.exit(main())
