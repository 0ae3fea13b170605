"""The screen edition: the booklet as one page for a tablet at the stand, that loads nothing.

Enters: a ``Book``, its drills as they are ``OnScreen``, the keys of its log. Leaves: HTML. What the
page does stands in ``templates/screen``.
"""

from collections.abc import Mapping

from engrave.booklet.book import Book
from engrave.booklet.screen_music import GIVEN, SIZES, OnScreen, json_text, picture
from engrave.booklet.screen_script import policy, script
from engrave.booklet.setting import Setting
from engrave.booklet.style import PageStyle
from engrave.log import Keys
from engrave.remarks import Remark
from engrave.words import TEMPLATES, say, words

_FOLDER = TEMPLATES / "screen"


def screen(
    book: Book, style: PageStyle, drills: Mapping[str, OnScreen], keys: Keys, name: str
) -> bytes:
    """The page; ``drills`` by their ids, ``name`` begins that of a log sent.

    Same input, same bytes.
    """
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
    }
    shown = ",".join(drills[page.drill.id].values.content.decode() for _, page in book.addresses())
    page = setting.fill(
        "screen/page.html",
        policy=policy(scripts, styles),
        scripts=scripts,
        styles=styles,
        data=f'{json_text(values)[:-1]},"drills":[{shown}]}}',
        unheard=lambda drill: _unheard(drills[drill.id], style.language),
        systems=lambda drill, label: [
            picture(each.content, label if number == 0 else "")
            for number, each in enumerate(drills[drill.id].given)
        ],
        spaces={},
    )
    return page.encode()


def _unheard(drill: OnScreen, language: str) -> str:
    if not drill.unplayed:
        return ""
    return say(Remark.of("unplayed.sentence", items=drill.unplayed), language)
