"""What a page is told: the scene, less what the page has already.

Enters: scenes, in the order in which one page is shown them. Leaves: JSON text.
"""

import json
from dataclasses import asdict

from engrave.messages import in_language
from engrave.watch.stage import Pdf, PdfState, Showing

_ONE_MISTAKE = "There is a mistake in the marks"
_WAITING = "waiting for engrave watch …"


class Listener:
    """One page, and what it has been told so far."""

    def __init__(self) -> None:
        self._css = ""
        self._passages: dict[str, str] = {}

    def of(self, scene: Showing) -> str:
        """``scene`` for this page; a passage that it shows already comes without HTML."""
        count = len(scene.mistakes)
        heading = f"There are {count} mistakes in the marks" if count > 1 else _ONE_MISTAKE
        said = in_language(_said(scene.pdf), scene.language)
        news: dict[str, object] = {
            "version": scene.version,
            "language": scene.language,
            "waiting": in_language(_WAITING, scene.language),
            "heading": in_language(heading, scene.language),
            "mistakes": [asdict(mistake) for mistake in scene.mistakes],
            "pdf": {"file": scene.pdf.file, "said": said},
            "passages": [
                {"id": id, "html": None if self._passages.get(id) == html else html}
                for id, html in scene.passages
            ],
        }
        if not scene.mistakes:
            news["title"] = scene.title
            self._passages = dict(scene.passages)
            if scene.css != self._css:
                news["css"] = self._css = scene.css
        return json.dumps(news)


def _said(pdf: Pdf) -> str:
    """What is said beside the link to the last PDF, or in its place."""
    if pdf.state is PdfState.MAKING:
        return "is being renewed" if pdf.file else "the PDF is being made"
    return f"the PDF could not be made: {pdf.reason}" if pdf.state is PdfState.FAILED else ""
