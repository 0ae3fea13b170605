"""Save after save: what stands in the marks is checked, made where it changed, and shown.

Enters: a marks file. Leaves: nothing but scenes on a stage, until it is interrupted.
"""

import gc
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from threading import Event

from engrave.booklet.preview import page_files, preview
from engrave.errors import EngraveError, Source
from engrave.log import Entry
from engrave.machine.cache import Cache
from engrave.machine.loopback import LoopbackServer
from engrave.machine.raised import failure, mistakes_in
from engrave.marks import Marks
from engrave.messages import in_language, language_for
from engrave.pipeline.batch import Task
from engrave.pipeline.checking import check
from engrave.pipeline.contents import book
from engrave.pipeline.drawing import pictures_of
from engrave.pipeline.styling import page_style_of
from engrave.watch.looking import saves
from engrave.watch.pdf import PdfShelf
from engrave.watch.server import WatchSite
from engrave.watch.stage import Mistake, Showing, Stage, TextLine

AROUND = 2
"""Lines shown above and below a mistake's."""


def watch(marks: Path, task: Task, port: int, tell: Callable[[str], None]) -> None:
    """Show the booklet of ``marks`` until interrupted; ``tell`` hears the address of the page."""
    stage = Stage()
    shelf = PdfShelf(marks, task, stage.show_pdf)
    server = LoopbackServer(WatchSite(stage, shelf, page_files()), port)
    server.start()
    maker = _SceneMaker(marks, task)
    shown, printed = None, None
    try:
        tell(server.address)
        for _ in saves(lambda: maker.folders, Event()):
            scene = maker.scene()
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


class _SceneMaker:
    """Makes scenes of one marks file.

    ``folders`` are those in which it and its scores have been; ``content`` tells one booklet from
    another, also where they differ on pages that a scene does not show.
    """

    def __init__(self, marks: Path, task: Task) -> None:
        self._marks, self._task, self._cache = marks, task, Cache(task.cache)
        self.folders = {marks.absolute().parent}
        self.content: tuple[Marks, str, tuple[Entry, ...]] | None = None

    def scene(self) -> Showing:
        """What is to be seen of the marks as they are now, in their language."""
        showing, errors = self._tried()
        language = language_for(self._marks, self._task.job.language)
        mistakes = tuple(self._mistake(error, language) for error in errors)
        return replace(showing, mistakes=mistakes, language=language)

    def _tried(self) -> tuple[Showing, Sequence[EngraveError]]:
        """The booklet, or what is wrong."""
        try:
            return self._booklet(), ()
        except Exception as raised:  # the tool's own too: the next save may go round it
            return Showing(), mistakes_in(raised) or (failure(raised),)

    def _booklet(self) -> Showing:
        job = self._task.job
        checked = check(self._marks, cache=self._cache)
        self.folders.add(checked.marks.score.value.absolute().parent)
        log = checked.recorded.log.entries if checked.recorded else ()
        self.content = checked.marks, checked.score.sha256, log
        style = page_style_of(checked.marks, job, job.editions[0])
        pictures = pictures_of(checked.drills, checked.marks, style, self._cache)
        self._cache.trim()
        seen = preview(book(checked.marks, checked.score, checked.passages, pictures), style)
        return Showing(seen.title, seen.css, seen.passages)

    def _mistake(self, error: EngraveError, language: str) -> Mistake:
        source = error.source
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
