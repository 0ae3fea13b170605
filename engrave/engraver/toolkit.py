"""Verovio: MusicXML in, its SVG out. Nothing else in the package calls the library.

One toolkit serves all sheets. Its lengths are in units of which a staff is 720 high, whatever the
size on paper: the picture is scaled as a whole, so that staff height is exact.
"""

from functools import cache
from pathlib import Path
from threading import Lock
from typing import Any

from engrave.errors import EngraveError

STAFF = 720
"""Height of a staff in units: 8 times verovio's ``unit``, of which a unit here is a tenth."""

SPACE = STAFF // 4

_SEED = 1
_ALONE = Lock()
"""The library serves one caller at a time; a page asks for several systems at once."""
_FIXED: dict[str, object] = {
    "adjustPageHeight": True,
    "footer": "none",
    "header": "none",
    "mnumInterval": 0,
    "pageHeight": 60000,
    "pageMarginBottom": 0,
    "pageMarginLeft": 0,
    "pageMarginRight": 0,
    "pageMarginTop": 0,
    "smuflTextFont": "none",
    "svgViewBox": True,
    "unit": STAFF / 80,
}


@cache
def _toolkit() -> Any:
    """The toolkit, its options read back: ``setOptions`` says yes to whatever it does not know."""
    import verovio

    verovio.enableLog(verovio.LOG_OFF)
    toolkit = verovio.toolkit()
    toolkit.setOptions(_FIXED)
    read_back = toolkit.getOptions()
    wrong = {name for name, value in _FIXED.items() if read_back.get(name) != value}
    if wrong:
        raise RuntimeError(f"verovio does not know the options {sorted(wrong)}")
    return toolkit


def begin() -> None:
    """Load the library, and its fonts."""
    _toolkit()


APART = 12
"""Verovio's own least distance between staves, in half spaces."""
USUAL, CLOSE = 0.25, 0.2
"""How much room long values take beside short ones: verovio's own, and less. Accidentals and dots
keep clear of the notes beside them at either."""


def draw(
    score: bytes,
    width: float | None = None,
    is_justified: bool = False,
    apart: int = APART,
    spacing: float = USUAL,
) -> str:
    """The SVG of a MusicXML document: in one line, or in the systems it asks for, of ``width``.

    ``width`` in units. Systems are stretched to it, all but the last unless ``is_justified``;
    staves are at least ``apart``, and notes as far from each other as ``spacing`` says.
    Raises ``EngraveError`` when verovio cannot read the document.
    """
    with _ALONE:
        return _drawn(score, width, is_justified, apart, spacing)


def _drawn(
    score: bytes, width: float | None, is_justified: bool, apart: int, spacing: float
) -> str:
    toolkit = _toolkit()
    toolkit.setOptions(
        {
            "xmlIdSeed": _SEED,
            "breaks": "none" if width is None else "encoded",
            "adjustPageWidth": width is None,
            "minLastJustification": 0.0 if is_justified else 1.0,
            "spacingLinear": spacing,
            "spacingStaff": apart,
            "pageWidth": 100000 if width is None else int(width // 10),
        }
    )
    if not toolkit.loadData(score.decode("utf-8")):
        raise EngraveError("verovio cannot read the music that was written for it")
    if toolkit.getPageCount() != 1:
        raise EngraveError("there is too much music for one drill", hint="mark fewer measures")
    svg: str = toolkit.renderToSVG(1)
    return svg


@cache
def font_folder() -> Path:
    """Where verovio keeps the outlines and metrics of its fonts."""
    import verovio

    return Path(verovio.__file__).parent / "data"
