"""Texts of the page that stand among the words of the music: titles, credits, rights.

Enters: a raw score. Leaves: the same one without them; how many there were is among what is lost.
"""

import re
from collections.abc import Iterable

from engrave.music.tempo_words import tempo_of_words
from engrave.music.units import Quarters
from engrave.score.formats.raw import RawScore, RawSign

LONGEST = 120
"""Letters; what is longer is to be read before one plays."""
_RIGHTS = re.compile(
    r"©|\(c\)\s*\d{4}|copyright|all rights|public domain|licen[sc]e|creative commons|www\.|https?:",
    re.IGNORECASE,
)


def without_page_texts(raw: RawScore) -> None:
    """Drop words that repeat a title or a name of the file, or that speak of rights."""
    works = (raw.title.removesuffix(f": {header}") for header in raw.headers)
    texts = raw.title, *works, raw.composer, *raw.headers
    known = {_plain(text) for text in texts} - {""}
    for bar in raw.part.bars:
        kept = [sign for sign in bar.signs if not _is_page_text(sign, known)]
        if len(kept) < len(bar.signs):
            bar.lost["titles and texts of the page"] += len(bar.signs) - len(kept)
            bar.signs = kept


def _is_page_text(sign: RawSign, known: Iterable[str]) -> bool:
    if "TextExpression" not in sign.element.classSet:
        return False
    text = str(sign.element.content or "")
    if _RIGHTS.search(text) or len(text) > LONGEST:
        return True
    return _plain(text) in known and tempo_of_words(text, Quarters(1)) is None


def _plain(text: str) -> str:
    return " ".join(re.findall(r"\w+", text.casefold()))
