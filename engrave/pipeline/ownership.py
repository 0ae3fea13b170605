"""Whose the files in an output folder are, and what becomes of them at the next build.

Enters: the folder, what a build made, whose it is. Leaves: a ``FolderChange``, and notices.
Ours is what the last manifest lists and what has not changed since; all else is somebody's work.
"""

import json
import os
from collections import ChainMap
from collections.abc import Callable, Iterable, Iterator, Mapping, MutableMapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from hashlib import sha256
from pathlib import Path, PurePosixPath

from engrave.errors import EngraveError, Notice, counted
from engrave.machine.writing import MARKER, FolderChange
from engrave.pipeline.manifest import FORMAT, Output

EARLIER, LESSONS = "earlier", "lessons"
HEARD = (".mid", ".mp3")
MOST_NAMED = 5
_ASKED = {"format", "marks", "score", "drills", "outputs", "path", "sha256", "lesson"}

BOOKLETS = (".pdf", ".html")
"""How the names of booklets end; they begin with that of the marks."""


@dataclass(frozen=True, slots=True)
class LastBuild:
    """What the manifest of the last build says; ``marks`` None: it is of format 1."""

    marks: str | None = None
    outputs: Mapping[str, Output] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Owner:
    """Whose output it is: the marks file, the name of its booklets, the day of the lesson."""

    marks: Path
    lesson: date | None = None

    @property
    def name(self) -> str:
        """The name of the output folder."""
        return output_name(self.marks)

    def seen_from(self, folder: Path) -> str:
        """The marks file as the manifest names it."""
        try:
            return Path(os.path.relpath(self.marks.resolve(), folder.resolve())).as_posix()
        except ValueError:  # on another drive
            return self.marks.resolve().as_posix()


def output_name(marks: Path) -> str:
    """What the output of a marks file is called; raises ``EngraveError`` for names of no file."""
    name = marks.stem
    try:
        name.encode()
    except UnicodeEncodeError:  # bytes of a name that is no text
        raise _no_folder(name, marks) from None
    if not name.strip(". "):
        raise _no_folder(name, marks)
    return name


def _no_folder(name: str, marks: Path) -> EngraveError:
    return EngraveError(
        f"an output folder cannot be called {name!r}",
        hint=f"give {marks.name} another name, as in rondo.yaml",
    )


def last_build(folder: Path) -> LastBuild | None:
    """What an earlier build left in ``folder``, None for a new or empty one.

    Raises ``EngraveError`` for a folder in which no build of this tool wrote.
    """
    if not folder.exists() or not any(folder.iterdir()):
        return None
    try:
        content = json.loads((folder / MARKER).read_text("utf-8"), object_pairs_hook=_asked)
    except (OSError, ValueError, RecursionError):
        content = None
    if not _is_ours(content):
        raise EngraveError(
            f"{folder} holds files that no build of this tool made",
            hint="move them away, or choose another folder with --out",
        )
    if content["format"] > FORMAT:
        raise EngraveError(
            f"{folder} was made by a newer version of this tool",
            hint="build with that version, or choose another folder with --out",
        )
    if content["format"] == 1:
        return LastBuild()
    listed = [Output(each["path"], each["sha256"], each["lesson"]) for each in content["outputs"]]
    return LastBuild(content["marks"], {each.path: each for each in listed})


def _asked(pairs: Sequence[tuple[str, object]]) -> dict[str, object]:
    """An object of a manifest without what is not asked here: most of it, the notes of drills."""
    return {name: value for name, value in pairs if name in _ASKED}


def _is_ours(content: object) -> bool:
    """Whether it has what our manifests have, and nobody else's."""
    if not isinstance(content, dict) or type(content.get("format")) is not int:
        return False
    if content["format"] < 1 or not isinstance(content.get("drills"), list):
        return False
    if content["format"] != FORMAT:
        return isinstance(content.get("score"), dict)
    outputs = content.get("outputs")
    return (
        isinstance(content.get("marks"), str)
        and isinstance(outputs, list)
        and all(_is_output(each) for each in outputs)
    )


def _is_output(each: object) -> bool:
    return (
        isinstance(each, dict)
        and isinstance(each.get("path"), str)
        and isinstance(each.get("sha256"), str)
        and (each.get("lesson", 0) is None or _is_day(each.get("lesson")))
    )


def _is_day(text: object) -> bool:
    try:
        return isinstance(text, str) and date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def refuse_others(folder: Path, owner: Owner) -> None:
    """Raise ``EngraveError`` where a booklet of other marks stands, or what no build made."""
    last = last_build(folder)
    if last is None or last.marks is None or last.marks == owner.seen_from(folder):
        return
    other = Path(os.path.normpath(folder.resolve() / last.marks))
    if not other.exists() or (owner.marks.exists() and other.samefile(owner.marks)):
        return  # renamed or moved since: nobody else's booklet is lost
    raise EngraveError(
        f"{folder} holds the booklet of other marks, {other}",
        hint=f"build {owner.marks} with another --out, or rename one of the two files",
    )


def change_of(
    folder: Path,
    owner: Owner,
    files: MutableMapping[str, bytes],
    manifest: Callable[[Sequence[Output]], bytes],
    tell: Callable[[Notice], None],
) -> FolderChange:
    """Put ``files`` into ``folder``, with a ``manifest`` of all that is ours there.

    ``tell`` hears of everything that was there and neither is replaced nor goes with its drill.
    """
    refuse_others(folder, owner)
    last = last_build(folder) or LastBuild("")
    standing = [name for name in _standing(folder) if name != MARKER]
    ours = _ours(folder, last, standing, files)
    moved, kept = _what_becomes(ours, files, owner, tell)
    in_the_way = list(_in_the_way(standing, ours, {*files, *filter(None, moved.values())}))
    if last.marks is None:
        in_the_way += [
            name
            for name in standing
            if name not in {*ours, *in_the_way} and _was_of_format_1(name, owner.name)
        ]
    taken = {*standing, *files, *filter(None, moved.values())}
    for name in sorted(in_the_way):
        moved[name] = _free(f"{EARLIER}/{name}", taken)
    if in_the_way:
        tell(_stepped_aside(folder, last, sorted(in_the_way), moved))
    strange = [
        name
        for name in standing
        if name not in ours and name not in moved and not name.startswith(f"{EARLIER}/")
    ]
    if strange:
        tell(_stays(folder, last, strange))
    lesson = owner.lesson.isoformat() if owner.lesson else None
    made = [Output(name, sha256(content).hexdigest(), lesson) for name, content in files.items()]
    listed = sorted([*made, *kept], key=lambda each: each.path)
    return FolderChange(ChainMap({MARKER: manifest(listed)}, files), {**moved, MARKER: None})


def _standing(folder: Path) -> Iterator[str]:
    """Every file and link in the folder, and every empty folder, by its path."""
    if not folder.exists():
        return
    for root, folders, names in os.walk(folder):
        here = Path(root).relative_to(folder)
        links = [name for name in folders if (Path(root) / name).is_symlink()]
        for name in (*names, *links):
            yield (here / name).as_posix()
        if not folders and not names and root != str(folder):
            yield here.as_posix()


def _ours(
    folder: Path, last: LastBuild, standing: Sequence[str], files: Mapping[str, bytes]
) -> dict[str, Output]:
    """What is ours of that which stands; of format 1, what equals what would be written."""

    def is_same(name: str, digest: str) -> bool:
        path = folder / name
        if path.is_symlink() or not path.is_file():
            return False
        return sha256(path.read_bytes()).hexdigest() == digest

    if last.marks is None:
        digests = {name: sha256(files[name]).hexdigest() for name in standing if name in files}
        listed: Mapping[str, Output] = {
            name: Output(name, digest, None) for name, digest in digests.items()
        }
    else:
        listed = last.outputs
    return {
        name: listed[name]
        for name in standing
        if name in listed and is_same(name, listed[name].sha256)
    }


def is_silent(files: Iterable[str]) -> bool:
    """Whether a build that makes these files makes no sound."""
    return not any(name.endswith(HEARD) for name in files)


def _what_becomes(
    ours: Mapping[str, Output],
    files: Mapping[str, bytes],
    owner: Owner,
    tell: Callable[[Notice], None],
) -> tuple[dict[str, str | None], list[Output]]:
    """Where what is ours goes, and what of it is still listed: earlier lessons, other editions."""
    lesson = owner.lesson.isoformat() if owner.lesson else None
    moved: dict[str, str | None] = {}
    kept: dict[str, Output] = {}
    heard = sum(name.endswith(HEARD) and name not in files for name in ours)
    if heard and is_silent(files):
        what = counted(heard, "sound file")
        tell(Notice(f"{what} of an earlier build taken away: this one makes no sound"))
    for name, output in sorted(ours.items(), key=lambda each: "/" not in each[0]):
        last = PurePosixPath(name).name
        if not last.endswith(BOOKLETS) or not last.startswith(f"{owner.name}-"):
            moved[name] = None
        elif "/" in name:
            kept[name] = output
        elif output.lesson and output.lesson != lesson:
            to = f"{LESSONS}/{output.lesson}/{name}"
            moved[name] = to
            if to in ours:
                moved[to] = None
            kept[to] = Output(to, output.sha256, output.lesson)
            if name not in files:
                tell(
                    Notice(
                        f"{name} of the lesson of {output.lesson} is now {to}: this build did not "
                        f"make that edition"
                    )
                )
        elif name in files:
            moved[name] = None
        else:
            kept[name] = output
            tell(Notice(f"{name} is of an earlier build: this one did not make that edition"))
    return moved, list(kept.values())


def _in_the_way(
    standing: Sequence[str], ours: Mapping[str, Output], wanted: set[str]
) -> Iterator[str]:
    """What is not ours and stands where something is to be written, or where its folder is."""
    folders = {str(parent) for name in wanted for parent in PurePosixPath(name).parents}
    for name in standing:
        if name in ours:
            continue
        parents = {str(parent) for parent in PurePosixPath(name).parents}
        if name in wanted or name in folders or parents & wanted:
            yield name


def _was_of_format_1(name: str, output: str) -> bool:
    """Whether a build of format 1 would have taken this for its own."""
    first, _, below = name.partition("/")
    if below:
        return first in ("drills", "passages")
    return name.startswith(f"{output}-") and name.endswith(".pdf")


def _free(name: str, taken: set[str]) -> str:
    path = PurePosixPath(name)
    tried, number = path, 1
    while str(tried) in taken or any(str(parent) in taken for parent in tried.parents):
        number += 1
        tried = path.with_name(f"{path.stem}-{number}{path.suffix}")
        if any(str(parent) in taken for parent in path.parents):
            tried = PurePosixPath(f"{EARLIER}-{number}", *path.parts[1:])
    taken.add(str(tried))
    return str(tried)


def _stepped_aside(
    folder: Path, last: LastBuild, names: Sequence[str], moved: Mapping[str, str | None]
) -> Notice:
    """What stood where something was to be written, or was of a build of format 1."""
    if len(names) == 1:
        why = "has changed since it was made" if names[0] in last.outputs else "is no file of ours"
        return Notice(f"{folder / names[0]} {why}: it is kept as {moved[names[0]]}")
    return Notice(
        f"{folder}: {len(names)} files that no build made, or changed since it was, are kept in "
        f"{EARLIER}/: {_named(names)}"
    )


def _stays(folder: Path, last: LastBuild, strange: Sequence[str]) -> Notice:
    changed = [name for name in strange if name in last.outputs]
    named = [*changed, *(name for name in strange if name not in changed)]
    return Notice(
        f"{folder}: {counted(len(named), 'file')} that no build made, or changed since it was, "
        f"left as found: {_named(named)}"
    )


def _named(names: Sequence[str]) -> str:
    more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
    return ", ".join(names[:MOST_NAMED]) + more
