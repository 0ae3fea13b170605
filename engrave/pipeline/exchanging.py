"""All that was made, put in the place of what an earlier build made, and told.

Enters: ``Checked``, its drills' files, pictures and booklets, whose output it is. Leaves: a folder,
and ``Checked`` with what became of it in words.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from engrave.booklet import STAND_IN
from engrave.errors import Notice, counted
from engrave.machine.packed import Packed, PackedFiles
from engrave.machine.writing import FolderChange, write_folder
from engrave.marks import Marks
from engrave.marks.placed import value_of
from engrave.pipeline.binding import Booklets, Engraved
from engrave.pipeline.checking import Checked
from engrave.pipeline.drawing import list_pictures
from engrave.pipeline.manifest import DrillFiles, Output, Whose, manifest
from engrave.pipeline.overview import NAME as OVERVIEW
from engrave.pipeline.overview import overview
from engrave.pipeline.ownership import BOOKLETS, HEARD, Owner, change_of, is_silent, refuse_others
from engrave.pipeline.sounding import unheard
from engrave.pipeline.styling import Job


@dataclass(frozen=True, slots=True)
class Destination:
    """Where the output goes, and whose it is."""

    folder: Path
    owner: Owner


def destination(marks: Path, folder: Path, read: Marks) -> Destination:
    """Where the output of a marks file goes; raises ``EngraveError`` where others' stands."""
    owner = Owner(marks, value_of(read.lesson))
    refuse_others(folder, owner)
    return Destination(folder, owner)


def exchange(
    checked: Checked,
    to: Destination,
    drills: PackedFiles,
    drawn: Engraved,
    booklets: Booklets,
    job: Job,
) -> Checked:
    """Write everything whole; ``drills`` are the files of their notation and sound.

    Raises ``EngraveError``; the folder is then as it was.
    """
    files, listed = _all_files(checked, to.owner, drills, drawn, booklets, job.language)
    told = [*unheard(checked)] if job.sound or job.audio or checked.marks.sound else []
    gone: list[str] = []

    def listing(outputs: Sequence[Output]) -> bytes:
        whose = Whose(to.owner.seen_from(to.folder), outputs)
        marks, score, passages = checked.marks, checked.score, checked.passages
        pieces = manifest(whose, marks, score, passages, listed, booklets.places)
        return Packed.of_pieces(pieces).content  # the pieces by themselves take twice the room

    def decide(there: Path) -> FolderChange:
        change = change_of(there, to.owner, files, listing, told.append)
        without_sound = is_silent(files)
        gone.extend(
            each
            for each, place in change.moved.items()
            if not place
            and each not in change.files
            and not (without_sound and each.endswith(HEARD))
        )
        return change

    write_folder(to.folder, decide)
    notices = (*checked.notices, *_unprinted(booklets.missing, checked.marks), *told)
    return replace(checked, notices=notices, made=_made(checked, to.folder, files, len(gone)))


def _all_files(
    checked: Checked,
    owner: Owner,
    drills: PackedFiles,
    drawn: Engraved,
    booklets: Booklets,
    language: str | None,
) -> tuple[PackedFiles, dict[str, DrillFiles]]:
    """The files of the output but for its manifest, and those of every drill by its id."""
    kept = {each.id for each in checked.drills}
    files = drills.of(name for name in drills if _is_kept(name, kept))
    pictures = {id: each for id, each in drawn.music[drawn.styles.plain].items() if id in kept}
    listed = list_pictures(pictures, files)
    files.add(booklets.files)
    spoken = language or checked.marks.language
    files[OVERVIEW] = overview(checked, owner.name, spoken, files, listed, booklets.places)
    return files, listed


def _is_kept(file: str, ids: set[str]) -> bool:
    """Whether a file is no drill's, or that of one of those with ``ids``."""
    folder, _, name = file.partition("/")
    return folder != "drills" or name.rpartition(".")[0] in ids


def _made(checked: Checked, folder: Path, files: Iterable[str], gone: int) -> str:
    """What was made and where, in one line."""
    booklets = [
        str(folder / each) for each in files if each.endswith(BOOKLETS) and each != OVERVIEW
    ]
    said = [
        counted(len(checked.passages), "passage"),
        counted(checked.drill_count, "drill"),
        *([f"{counted(gone, 'file')} of drills no longer made taken away"] if gone else []),
    ]
    return f"{', '.join(booklets) or folder}: {', '.join(said)}"


def _unprinted(missing: Iterable[str], marks: Marks) -> Iterator[Notice]:
    """Characters of the marks or of the score that stand nowhere in the booklet."""
    for each in sorted(missing):
        yield Notice(
            f"no font on this machine has {each!r} (U+{ord(each):04X}): {STAND_IN} is printed",
            marks.source,
        )
