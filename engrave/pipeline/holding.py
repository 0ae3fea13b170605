"""What a booklet needs of what was made, held small until it is written.

Enters: engravings, ``Checked``. Leaves: what pages and files are made from, and no more: drawings
are packed, and the music of drills is let go once it is written and drawn.
"""

from dataclasses import dataclass, replace

from engrave.engraver import Engraving, Picture
from engrave.machine.packed import Packed
from engrave.music.drill import Drill
from engrave.music.sheet import Sheet
from engrave.pipeline.checking import Checked


@dataclass(frozen=True, slots=True)
class HeldPicture:
    """A picture as a page shows it; where in it the notes are no page asks."""

    drawing: Packed
    width_mm: float
    height_mm: float
    systems: int
    staff_tops_mm: tuple[float, ...]

    @classmethod
    def of(cls, picture: Picture) -> "HeldPicture":
        """The same, held small."""
        return cls(
            Packed.of(picture.svg),
            picture.width_mm,
            picture.height_mm,
            picture.systems,
            picture.staff_tops_mm,
        )

    @property
    def svg(self) -> bytes:
        """The drawing, as the engraver left it."""
        return self.drawing.content

    @property
    def staves(self) -> int:
        """How many staves are drawn: those of a system times the systems."""
        return len(self.staff_tops_mm)


HeldPictures = tuple[HeldPicture, ...]
"""One sheet, engraved: from the first system to the last."""


def held(engraving: Engraving) -> HeldPictures:
    """The pictures, held small."""
    return tuple(map(HeldPicture.of, engraving.pictures))


def without_music(checked: Checked) -> Checked:
    """``checked`` with drills of which can be told, but which nobody can write, draw or play."""
    passages = tuple(
        replace(each, drills=tuple(map(_without_music, each.drills))) for each in checked.passages
    )
    return replace(checked, passages=passages)


def _without_music(drill: Drill) -> Drill:
    first = replace(drill.sheet.bars[0], events=(), clefs=(), directions=(), ending=None)
    return replace(drill, sheet=Sheet((first,), staves=drill.sheet.staves))
