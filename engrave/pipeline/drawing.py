"""What a checked marks file has to show: every drill written and drawn, the piece as a strip.

Enters: ``Checked``, the styles of the pages. Leaves: files and pictures by name. Knows no pages.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from engrave.booklet import OnScreen, PageStyle, TerrainStrip
from engrave.engraver import Engraving, Picture, Style
from engrave.errors import EngraveError, Mistakes, Source
from engrave.machine.cache import Cache
from engrave.machine.packed import PackedFiles
from engrave.machine.raised import busy_with
from engrave.machine.shared import Shared
from engrave.marks import Marks
from engrave.music.drill import Drill
from engrave.pipeline import keeping
from engrave.pipeline.checking import Checked
from engrave.pipeline.holding import HeldPictures, held
from engrave.pipeline.manifest import DrillFiles
from engrave.pipeline.terrain import terrain_strip
from engrave.remarks import Remark
from engrave.words import say, say_variant

if TYPE_CHECKING:
    from engrave.survey import Terrain

DrawnMusic = Mapping[str, HeldPictures]
"""Pictures by drill id."""

_InStyles = dict[Style, HeldPictures]
"""One drill's pictures."""


def notation(checked: Checked, cache: Cache) -> PackedFiles:
    """The MusicXML of every drill and passage, by its file's name."""
    files = PackedFiles()
    composer = checked.marks.piece.composer or checked.score.composer
    for drilled in checked.passages:
        passage = drilled.passage
        sheets = {
            f"drills/{each.id}.musicxml": (each.sheet, title_of(checked, each))
            for each in drilled.drills
        }
        sheets[f"passages/{passage.id}.musicxml"] = (passage.sheet, passage.label)
        with busy_with(passage.source):
            files.update(keeping.notate(sheets, composer, cache))
    return files


def pictures_of(
    drills: Sequence[Drill], marks: Marks, style: PageStyle, cache: Cache
) -> dict[str, tuple[Picture, ...]]:
    """The pictures by drill id; raises ``Mistakes`` at the passage that cannot be engraved."""
    page = _engraved_as(style)
    return {each.id: engraving_of(each, marks, page, cache).pictures for each in drills}


def engraving_of(drill: Drill, marks: Marks, style: Style, cache: Cache) -> Engraving:
    """One drill; raises ``Mistakes`` at its passage where it cannot be engraved."""
    source = _source_of(drill, marks)
    try:
        with busy_with(source):
            return keeping.engrave_sheet(drill.sheet, style, cache)
    except EngraveError as error:
        raise Mistakes([error.at(source)]) from error


@dataclass(frozen=True, slots=True)
class Drawn:
    """The drills drawn in every style, and, where that was asked for, as they are on screens."""

    music: Mapping[PageStyle, DrawnMusic]
    screens: Mapping[str, OnScreen]


@contextmanager
def engraving(
    checked: Checked,
    styles: Sequence[PageStyle],
    cache: Cache,
    alone: bool,
    on_screen: Callable[[Drill], OnScreen] | None = None,
) -> Iterator[Callable[[], Drawn]]:
    """Engrave the drills in every style, as far as they were not kept, in a process beside.

    Gives the function that has this process join in, and raises ``Mistakes``. ``alone``: there is
    no other process. A drill is drawn in all its sizes at a time, which have much in common.
    """
    wanted = tuple(dict.fromkeys(map(_engraved_as, styles)))  # what is engraved alike, once
    before = {each.id: _kept(each, wanted, cache) for each in checked.drills}
    works = {
        each.id: partial(_drawn, each, missing, checked.marks, cache, on_screen)
        for each in checked.drills
        if (missing := [style for style in wanted if style not in before[each.id]]) or on_screen
    }
    with Shared([*works.values()], alone) as since:

        def joined() -> Drawn:
            music, screens = dict(before), {}
            for id, (made, shown) in zip(works, since.values(), strict=True):
                music[id] = before[id] | made
                if shown:
                    screens[id] = shown
            by_style = {
                page: {id: pictures[_engraved_as(page)] for id, pictures in music.items()}
                for page in styles
            }
            return Drawn(by_style, screens)

        yield joined


def _kept(drill: Drill, styles: Iterable[Style], cache: Cache) -> _InStyles:
    """A drill in those of the styles in which an earlier build drew it."""
    return {
        style: held(engraving)
        for style in styles
        if (engraving := keeping.engraved_before(drill.sheet, style, cache))
    }


def _drawn(
    drill: Drill,
    styles: Iterable[Style],
    marks: Marks,
    cache: Cache,
    on_screen: Callable[[Drill], OnScreen] | None,
) -> tuple[_InStyles, OnScreen | None]:
    """A drill in every style and, where that is asked for, as it is on screens."""
    music = {style: held(engraving_of(drill, marks, style, cache)) for style in styles}
    with busy_with(_source_of(drill, marks)):
        return music, on_screen(drill) if on_screen else None


def _source_of(drill: Drill, marks: Marks) -> Source:
    return next(mark.source for mark in marks.passages if mark.id == drill.passage)


def terrains_of(
    checked: Checked,
    styles: Iterable[PageStyle],
    cache: Cache,
    surveyed: "Callable[[], Terrain]",
) -> dict[PageStyle, TerrainStrip]:
    """The piece as a strip, for every style; ``surveyed`` gives its terrain, where it is needed."""
    return {
        style: terrain_strip(
            checked.marks,
            checked.score,
            checked.passages,
            style.music_width_mm,
            style.language,
            cache,
            surveyed,
        )
        for style in styles
    }


def _engraved_as(page: PageStyle) -> Style:
    return Style(page.staff_mm, page.music_width_mm, page.music_height_mm)


def title_of(checked: Checked, each: Drill) -> str:
    """What a drill's files are called inside."""
    piece = checked.marks.piece.title or checked.score.title
    variant = say_variant(each.family, each.called)
    return f"{piece}: {say(Remark.of(f'family.{each.family}'))}, {variant}"


def list_pictures(music: DrawnMusic, files: PackedFiles) -> dict[str, DrillFiles]:
    """Add every picture to ``files``: ``drills/ID.svg``, then ``ID-2.svg`` where there are more."""
    listed = {}
    for id, pictures in music.items():
        names = []
        for number, picture in enumerate(pictures, 1):
            names.append(f"drills/{id}.svg" if number == 1 else f"drills/{id}-{number}.svg")
            files.hold(names[-1], picture.drawing)
        systems = sum(picture.systems for picture in pictures)
        listed[id] = DrillFiles(
            f"drills/{id}.musicxml",
            tuple(names),
            sum(picture.staves for picture in pictures) // systems,
            systems,
            midi if (midi := f"drills/{id}.mid") in files else "",
            audio if (audio := f"drills/{id}.mp3") in files else "",
        )
    return listed
