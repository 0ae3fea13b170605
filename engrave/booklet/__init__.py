"""The booklet as a printed thing: a ``Book`` is ``LaidOut`` in a ``PageStyle`` and printed."""

from engrave.booklet.binding import STAND_IN, LaidOut
from engrave.booklet.book import (
    Book,
    Bound,
    DrillPage,
    Music,
    PassagePages,
    Picture,
    TerrainStrip,
)
from engrave.booklet.editions import Edition
from engrave.booklet.folio import Place
from engrave.booklet.guarding import swept
from engrave.booklet.imposition import impose
from engrave.booklet.library import load_weasyprint as load_press
from engrave.booklet.need import Due, PassageNeed
from engrave.booklet.news import News, Progress
from engrave.booklet.screen_file import screen
from engrave.booklet.screen_music import SIZES, OnScreen, heard_values, on_screen
from engrave.booklet.style import FOLDED, PAPERS, PageStyle, page_style
from engrave.booklet.templates import load_templates

__all__ = [
    "FOLDED", "PAPERS", "SIZES", "STAND_IN", "Book", "Bound", "DrillPage", "Due", "Edition",
    "LaidOut", "Music", "News", "OnScreen", "PageStyle", "PassageNeed", "PassagePages", "Picture",
    "Place", "Progress", "TerrainStrip", "heard_values", "impose", "load_press",
    "load_templates", "on_screen", "page_style", "screen", "swept",
]  # fmt: skip
