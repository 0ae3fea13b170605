"""The screen edition: the booklet as one page for a tablet at the stand, that loads nothing.

Enters: a ``Book``, the systems of its drills in every size, the keys of its log. Leaves: HTML. What
the page does stands in ``templates/screen``.
"""

import json
from collections.abc import Mapping
from typing import Any

from engrave.booklet.book import Book
from engrave.booklet.screen_music import GIVEN, SIZES, Systems, drill_values, on_screen
from engrave.booklet.screen_script import policy, script
from engrave.booklet.setting import Setting
from engrave.booklet.style import PageStyle
from engrave.log import Keys
from engrave.sound import unplayed
from engrave.words import TEMPLATES, listed, say, words

_FOLDER = TEMPLATES / "screen"


def screen(
    book: Book, style: PageStyle, systems: Mapping[str, Systems], keys: Keys, name: str
) -> bytes:
    """The page; ``systems`` by drill id, ``name`` is the log's file. Same input, same bytes."""
    setting = Setting(book, style)
    scripts, styles = script(_FOLDER), (_FOLDER / "screen.css").read_text("utf-8")
    values = {
        "keys": {"piece": keys.piece, "student": keys.student},
        "logName": name,
        "given": GIVEN.name,
        "sizes": [
            {"name": each.name, "from": each.from_px, "width": each.style.width_mm}
            for each in SIZES
        ],
        "says": words(style.language)["screen"]["says"],
        "passages": [
            {"id": pages.passage.id, "heading": setting.heading(pages)} for pages in book.passages
        ],
        "drills": [_drill(setting, page.drill, systems) for _, page in book.addresses()],
    }
    page = setting.fill(
        "screen/page.html",
        policy=policy(scripts, styles),
        scripts=scripts,
        styles=styles,
        data=_json(values),
        unheard=lambda drill: _unheard(drill, style.language),
        systems=lambda drill, label: [
            on_screen(each.svg, label if number == 0 else "")
            for number, each in enumerate(systems[drill.id][GIVEN.name])
        ],
        spaces={},
    )
    return page.encode()


def _drill(setting: Setting, drill: Any, systems: Mapping[str, Systems]) -> dict[str, Any]:
    values = drill_values(drill, systems[drill.id])
    ladder = drill.ladder
    values["ladder"]["name"] = setting.t(
        "tempo.boxes", unit=ladder.beat_unit, first=ladder.marks[0], last=ladder.marks[-1]
    )
    return values


def _unheard(drill: Any, language: str) -> str:
    items = [say(each, language) for each in unplayed(drill.sheet)]
    if not items:
        return ""
    return str(words(language)["unplayed"]["sentence"]).format(items=listed(items, language))


def _json(values: dict[str, Any]) -> str:
    """JSON that cannot end the element it stands in."""
    text = json.dumps(values, ensure_ascii=False, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")
