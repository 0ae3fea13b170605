"""What has happened since the last lesson, as a booklet says it.

The types alone: remarks to be said, curves to be drawn. Nothing here knows a log.
"""

from dataclasses import dataclass
from datetime import date

from engrave.booklet.need import PassageNeed
from engrave.log.picture import Curve
from engrave.remarks import Remark


@dataclass(frozen=True, slots=True)
class News:
    """The page of news: since which lesson, and a list of sentences for each of its headings.

    ``since`` None: no earlier lesson is noted, and the news are those of the last week.
    ``is_silent``: nothing is noted of this time.
    """

    since: date | None
    moved: tuple[Remark, ...] = ()
    stuck: tuple[Remark, ...] = ()
    new: tuple[Remark, ...] = ()
    done: tuple[Remark, ...] = ()
    is_silent: bool = False

    @property
    def parts(self) -> tuple[tuple[str, tuple[Remark, ...]], ...]:
        """The headings that have something under them, in the order of the page."""
        named = ("moved", self.moved), ("stuck", self.stuck), ("new", self.new), ("done", self.done)
        return tuple((name, said) for name, said in named if said)


@dataclass(frozen=True, slots=True)
class Progress:
    """What a booklet knows of the time before it; all of it may be missing.

    ``done`` are the passages that are done, a line each; ``curves`` the marks over the days;
    ``items`` what the plan deals out.
    """

    lesson: date | None = None
    news: News | None = None
    done: tuple[Remark, ...] = ()
    curves: tuple[Curve, ...] = ()
    items: tuple[PassageNeed, ...] = ()
