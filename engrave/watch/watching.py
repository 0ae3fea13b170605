"""Save after save: what stands in the marks is checked, made where it changed, and shown.

Enters: a marks file. Leaves: nothing but scenes on a stage, until it is interrupted.
"""

import gc
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from engrave.booklet.preview import page_files, preview
from engrave.errors import EngraveError, Mistakes, Source
from engrave.log import Entry
from engrave.machine.cache import Cache
from engrave.marks import Marks
from engrave.messages import in_language, language_for
from engrave.pipeline.batch import Task
from engrave.pipeline.checking import check
from engrave.pipeline.contents import book
from engrave.pipeline.drawing import engravings_of
from engrave.pipeline.styling import page_style_of
from engrave.watch.pdf import PdfShelf
from engrave.watch.server import PageServer
from engrave.watch.stage import Mistake, Scene, Stage, TextLine

DEBOUNCE_MS = 200
"""Saves that follow each other at once are one, for at most this long."""
STEP_MS = 15
LOOK_MS = 500
AROUND = 2
"""Lines shown above and below a mistake's."""


def watch(marks: Path, task: Task, port: int, tell: Callable[[str], None]) -> None:
    """Show the booklet of ``marks`` until interrupted; ``tell`` hears the address of the page."""
    stage = Stage()
    shelf = PdfShelf(marks, task, stage.show_pdf)
    server = PageServer(stage, shelf, page_files(), port)
    server.start()
    maker = _SceneMaker(marks, task)
    shown, printed = None, None
    try:
        tell(server.address)
        for scene in _scenes(maker):
            if scene != shown:
                stage.show(scene)
                shown = scene
            if not scene.mistakes and maker.content != printed:
                shelf.renew()
                printed = maker.content
            gc.collect()  # now, while nobody waits
    finally:
        server.stop()
        shelf.close()


def _scenes(maker: "_SceneMaker") -> Iterator[Scene]:
    """The scene now, and one after every save in the folders of the marks and of their score."""
    from watchfiles import watch as changes

    def is_of_interest(_: object, path: str) -> bool:
        return not Path(path).name.startswith(".")

    while True:
        yield maker.scene()
        watched = {folder for folder in maker.folders if folder.is_dir()}
        if not watched:  # gone with its folder, which may come again
            time.sleep(LOOK_MS / 1000)
            continue
        is_missed = True  # a save between the scene and the first look
        for changed in changes(
            *watched,
            watch_filter=is_of_interest,
            debounce=DEBOUNCE_MS,
            step=STEP_MS,
            rust_timeout=LOOK_MS,
            yield_on_timeout=True,
            recursive=False,
        ):
            if changed or is_missed:
                yield maker.scene()
            is_missed = False
            if not maker.folders <= watched:
                break


class _SceneMaker:
    """Makes scenes of one marks file.

    ``folders`` are those in which it and its scores have been; ``content`` tells one booklet from
    another, also where they differ on pages that a scene does not show.
    """

    def __init__(self, marks: Path, task: Task) -> None:
        self._marks, self._task, self._cache = marks, task, Cache(task.cache)
        self.folders = {marks.absolute().parent}
        self.content: tuple[Marks, str, tuple[Entry, ...]] | None = None

    def scene(self) -> Scene:
        try:
            return self._booklet()
        except Mistakes as mistakes:
            return Scene(mistakes=tuple(self._mistake(error) for error in mistakes.errors))
        except EngraveError as error:
            return Scene(mistakes=(self._mistake(error),))
        except Exception as error:  # the tool's own: the next save may go round it
            return Scene(mistakes=(Mistake(f"the tool failed: {type(error).__name__}: {error}"),))

    def _booklet(self) -> Scene:
        job = self._task.job
        checked = check(self._marks, cache=self._cache)
        self.folders.add(checked.marks.score.value.absolute().parent)
        log = checked.kept.log.entries if checked.kept else ()
        self.content = checked.marks, checked.score.sha256, log
        style = page_style_of(checked.marks, job, job.editions[0])
        engravings = engravings_of(checked.drills, checked.marks, style, self._cache)
        self._cache.trim()
        seen = preview(book(checked.marks, checked.score, checked.passages, engravings), style)
        return Scene(seen.title, seen.css, seen.passages)

    def _mistake(self, error: EngraveError) -> Mistake:
        source = error.source
        language = language_for(self._marks, self._task.job.language)
        return Mistake(
            in_language(error.message, language),
            str(source or ""),
            in_language(error.hint, language),
            self._around(source) if source else (),
        )

    def _around(self, source: Source) -> tuple[TextLine, ...]:
        if source.file != str(self._marks) or not source.line:
            return ()
        try:
            lines = self._marks.read_text("utf-8", "replace").splitlines()
        except OSError:
            return ()
        first = max(1, source.line - AROUND)
        return tuple(
            TextLine(number, text, number == source.line)
            for number, text in enumerate(lines[first - 1 : source.line + AROUND], first)
        )
