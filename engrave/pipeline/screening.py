"""The screen edition of a checked marks file: its drills engraved for screens, and the page.

Enters: drills, ``Checked``. Leaves: a drill as it is on screens, and the file. Knows no paper.
"""

from collections.abc import Mapping
from pathlib import Path

from engrave.booklet import SIZES, Book, OnScreen, PageStyle, on_screen, screen
from engrave.machine.cache import Cache
from engrave.marks import Marks
from engrave.marks.placed import Placed
from engrave.music.drill import Drill
from engrave.pipeline.checking import Checked
from engrave.pipeline.drawing import engraving_of
from engrave.pipeline.progress import keys_for

SCREEN = "screen"
"""The edition's name."""


def drill_on_screen(drill: Drill, marks: Marks, language: str, cache: Cache) -> OnScreen:
    """A drill in every size; raises ``Mistakes`` at the passage that cannot be engraved."""
    systems = {size.name: engraving_of(drill, marks, size.style, cache).pictures for size in SIZES}
    return on_screen(drill, systems, language)


def screen_page(
    checked: Checked, content: Book, style: PageStyle, drills: Mapping[str, OnScreen], name: str
) -> bytes:
    """The page; ``name`` is the marks file's."""
    keys = keys_for(checked.marks, checked.score)
    return screen(content, style, drills, keys, sent_name(name, checked.marks.log))


def sent_name(name: str, log: Placed[Path] | None) -> str:
    """What a log that is sent is called, before its day: never as the ``log`` of the marks is."""
    sent = f"{name}-sent"
    while log and log.value.name.startswith(sent):
        sent += "-sent"
    return sent
