"""The page of a booklet that is being edited.

Enters: a stage, and the files of the page. Leaves: answers to GET, none to anything else. No path
leads to the disk: the answers are listed.
"""

from collections.abc import Iterator, Mapping
from urllib.parse import unquote

from engrave.machine.loopback import HEARTBEAT_SECONDS, Answer
from engrave.watch.news import Listener
from engrave.watch.pdf import PdfShelf
from engrave.watch.stage import Stage


class WatchSite:
    """A stage, its PDFs and the files of the page, below one address."""

    def __init__(
        self, stage: Stage, shelf: PdfShelf, files: Mapping[str, tuple[bytes, str]]
    ) -> None:
        self._stage, self._shelf, self._files = stage, shelf, files

    def get(self, path: str) -> Answer | None:
        """The page, one of its files, or the PDF."""
        if path in self._files:
            return Answer(*self._files[path])
        pdf = None
        if path.startswith("pdf/"):
            pdf = self._shelf.content(unquote(path.removeprefix("pdf/")))
        return Answer(pdf, "application/pdf") if pdf else None

    def post(self, path: str, body: bytes) -> Answer | None:
        """Nothing: the page only looks."""
        return None

    def events(self) -> Iterator[str | None]:
        """The scene now, then every one that follows, for one page."""
        news, version = Listener(), 0
        while True:
            scene = self._stage.after(version, HEARTBEAT_SECONDS)
            if scene is None:
                yield None
            else:
                version = scene.version
                yield news.of(scene)
