"""The booklets of a checked marks file, in every edition that was asked for.

Enters: ``Checked``, what was drawn of it. Leaves: files by name, and where the drills stand in
them. Knows no folders.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from engrave.booklet import Book, Bound, LaidOut, PageStyle, Place, TerrainStrip, impose, swept
from engrave.machine.packed import PackedFiles
from engrave.machine.shared import Shared
from engrave.pipeline.checking import Checked
from engrave.pipeline.contents import book
from engrave.pipeline.drawing import Drawn, DrawnMusic
from engrave.pipeline.fitting import fitted
from engrave.pipeline.means import Means
from engrave.pipeline.screening import SCREEN, screen_page
from engrave.pipeline.styling import Styles
from engrave.pipeline.telling import progress_of


@dataclass(frozen=True, slots=True)
class Engraved:
    """What there is to show: for every style the drills and the piece as a strip."""

    styles: Styles
    drills: Drawn
    terrains: Mapping[PageStyle, TerrainStrip]

    @property
    def music(self) -> Mapping[PageStyle, DrawnMusic]:
        """The pictures by style and drill."""
        return self.drills.music

    def content(self, checked: Checked, style: PageStyle) -> Book:
        """All that a booklet on paper says."""
        return book(
            checked.marks,
            checked.score,
            checked.passages,
            self.music[style],
            self.terrains[style],
            progress_of(checked),
        )


@dataclass(frozen=True, slots=True)
class Booklets:
    """The files by name; ``places`` of the drills, by edition and id.

    ``missing`` are the characters that no font has.
    """

    files: PackedFiles
    places: Mapping[str, Mapping[str, Sequence[Place]]]
    missing: frozenset[str]


def fit(checked: Checked, drawn: Engraved, means: Means) -> tuple[Checked, LaidOut | None]:
    """With so few drills that the first edition keeps to the pages that the marks allow it.

    And that edition as it was laid out, if it was so last.
    """
    if not checked.marks.pages or not drawn.styles.printed:
        return checked, None
    style = next(iter(drawn.styles.printed.values()))
    heights = {
        id: sum(picture.height_mm for picture in pictures)
        for id, pictures in drawn.music[style].items()
    }
    last: dict[int, LaidOut] = {}

    def pages_of(less: Checked) -> int:
        last.clear()  # two would be too much to hold
        laid = LaidOut(drawn.content(less, style), style, means.cache, means.alone)
        last[len(less.drills)] = laid
        return laid.pages

    less = fitted(checked, checked.marks.pages, style.text_height_mm, heights, pages_of)
    return less, last.get(len(less.drills))


def bind_all(
    checked: Checked, drawn: Engraved, first: LaidOut | None, name: str, means: Means
) -> Booklets:
    """Every edition; ``first`` is the first, if that is laid out; ``name`` the marks file's."""
    files = PackedFiles()
    places: dict[str, Mapping[str, Sequence[Place]]] = {}
    missing: set[str] = set()
    printed = drawn.styles.printed
    works: list[Callable[[], Bound | bytes]] = []
    for number, style in enumerate(printed.values(), 1):
        alone = means.alone or number < len(printed)  # the last has help of whoever is free
        laid_out = first if number == 1 else None
        works.append(partial(_bound, checked, drawn, style, replace(means, alone=alone), laid_out))
    if drawn.drills.screens:
        works.append(partial(_screen, checked, drawn, name, means))
    editions = [*printed, (SCREEN, False)][: len(works)]
    with swept(), Shared(works, means.alone or len(works) < 2) as since:
        for (edition, folded), bound in zip(editions, since.values(), strict=True):
            if isinstance(bound, bytes):
                files[f"{name}-{SCREEN}.html"] = bound
                continue
            missing.update(bound.missing)
            if folded:
                files[f"{name}-{edition}-imposed.pdf"] = impose(bound.pdf)
            else:
                files[f"{name}-{edition}.pdf"] = bound.pdf
                places[edition] = bound.places
    return Booklets(files, places, frozenset(missing))


def _bound(
    checked: Checked, drawn: Engraved, style: PageStyle, means: Means, laid_out: LaidOut | None
) -> Bound:
    """An edition, printed; it may be ``laid_out`` already."""
    means.tell(f"booklet, {style.edition}")
    if laid_out is None:
        laid_out = LaidOut(drawn.content(checked, style), style, means.cache, means.alone)
    return laid_out.printed()


def _screen(checked: Checked, drawn: Engraved, name: str, means: Means) -> bytes:
    """The screen edition."""
    means.tell(f"booklet, {SCREEN}")
    plain = drawn.styles.plain
    content = book(checked.marks, checked.score, checked.passages, drawn.music[plain])
    return screen_page(checked, content, plain, drawn.drills.screens, name)
