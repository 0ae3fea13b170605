"""What a page is told: the scene, less what the page has already.

Enters: scenes, in the order in which one page is shown them. Leaves: JSON text.
"""

import json
from dataclasses import asdict

from engrave.watch.stage import Scene


class News:
    """One page, and what it has been told so far."""

    def __init__(self) -> None:
        self._css = ""
        self._passages: dict[str, str] = {}

    def of(self, scene: Scene) -> str:
        """``scene`` for this page; a passage that it shows already comes without HTML."""
        news: dict[str, object] = {
            "version": scene.version,
            "mistakes": [asdict(mistake) for mistake in scene.mistakes],
            "pdf": asdict(scene.pdf),
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
