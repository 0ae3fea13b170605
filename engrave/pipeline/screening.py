"""The screen edition of a checked marks file: its drills engraved for screens, and the page.

Enters: ``Checked``. Leaves: engravings by drill and size, and the file. Knows no paper.
"""

from collections.abc import Mapping

from engrave.booklet import SIZES, Book, PageStyle, screen
from engrave.engraver import Picture
from engrave.machine.cache import Cache
from engrave.pipeline.checking import Checked
from engrave.pipeline.drawing import engraving_of
from engrave.pipeline.progress import keys_for

SCREEN = "screen"
"""The edition's name."""

Screens = Mapping[str, Mapping[str, tuple[Picture, ...]]]
"""Systems by drill id, then by the name of the size."""


def screens_of(checked: Checked, cache: Cache) -> Screens:
    """Every drill in every size; raises ``Mistakes`` at the passage that cannot be engraved."""
    marks = checked.marks
    found = {
        each.id: {
            size.name: engraving_of(each, marks, size.style, cache).pictures for size in SIZES
        }
        for each in checked.drills
    }
    cache.trim()
    return found


def screen_page(
    checked: Checked, content: Book, style: PageStyle, screens: Screens, name: str
) -> bytes:
    """The page; ``name`` is the marks file's."""
    keys = keys_for(checked.marks, checked.score)
    return screen(content, style, screens, keys, f"{name}.log.yaml")
