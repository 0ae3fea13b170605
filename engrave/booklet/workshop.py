"""What all layouts of one booklet share: fonts, style sheets, pictures, and pages that are known.

Enters: a cache. Leaves: WeasyPrint's objects, made when they are first asked for.
"""

from functools import cached_property
from pathlib import Path
from typing import Any

from engrave.booklet.drawings import Drawings
from engrave.booklet.folio import Folio, Plate
from engrave.booklet.library import surroundings
from engrave.booklet.plates import PlateMaker
from engrave.booklet.styles import SharedStyles
from engrave.machine.cache import Cache


def font_file(name: str) -> Path:
    """A face of the packaged text font, ``Regular`` say."""
    import font_source_serif_pro

    return Path(font_source_serif_pro.font_directory) / f"SourceSerifPro-{name}.otf"


class Workshop:
    """Pages of this layout and the last are at hand; others are looked for in ``cache``."""

    def __init__(self, cache: Cache, alone: bool = True) -> None:
        self._cache, self.alone = cache, alone
        self._sheets: dict[str, Any] = {}
        self._last: dict[str, Folio] = {}
        self._now: dict[str, Folio] = {}
        self.standing: dict[str, Any] = {}
        """Pages that the last layout has left standing: WeasyPrint's, by what they are known by."""
        self.plate_maker = PlateMaker()
        self.styles = SharedStyles()

    def found(self, key: str) -> object:
        """What is known by ``key``, None if nothing is."""
        found = self._last.get(key) or self._cache.found(key)
        if isinstance(found, Folio):
            self._now[key] = found
        return found

    def keep(self, key: str, value: Folio | Plate) -> None:
        """From now on; a page laid out at least until the next layout, without a cache too."""
        if isinstance(value, Folio):
            self._now[key] = value
        self._cache.made(key, lambda: value)

    def hold(self, key: str, folio: Folio) -> None:
        """Know, until the next layout at least, a page that another process has laid out."""
        self._now[key] = folio

    def next_layout(self) -> None:
        """Forget what the last one had no use for."""
        self._last, self._now = self._now, {}

    def sheet(self, css: str) -> Any:
        """A style sheet as WeasyPrint reads it."""
        import weasyprint

        if css not in self._sheets:
            self._sheets[css] = weasyprint.CSS(
                string=css, url_fetcher=self.fetcher, font_config=self.fonts
            )
        return self._sheets[css]

    @cached_property
    def fonts(self) -> Any:
        """Those of the machine, and those that a sheet asks for."""
        from weasyprint.text.fonts import FontConfiguration

        return FontConfiguration()

    def fonts_of(self, css: str) -> Any:
        """The same, with those that this sheet asks for."""
        self.sheet(css)
        return self.fonts

    @cached_property
    def surroundings(self) -> str:
        """What of this machine pages depend on."""
        return surroundings(self.fonts)

    @cached_property
    def drawings(self) -> Drawings:
        """Pictures in these fonts."""
        return Drawings(self.fonts)

    @cached_property
    def fetcher(self) -> Any:
        """What hands out the faces of the text font, and nothing else."""
        import weasyprint

        class Fetcher(weasyprint.urls.URLFetcher):  # type: ignore[misc]
            def fetch(self, url: str, headers: Any = None) -> Any:
                scheme, _, name = url.partition(":")
                if scheme != "font":
                    raise ValueError(f"the booklet may not fetch {url}")
                face = font_file(name).read_bytes()
                return weasyprint.urls.URLFetcherResponse(url, face, {"Content-Type": "font/otf"})

        return Fetcher()
