"""What is asked of the engraver, and what it hands back; sizes in millimetres on paper."""

from dataclasses import dataclass

from engrave.errors import EngraveError

SMALLEST_MM, LARGEST_MM = 3.0, 20.0


@dataclass(frozen=True, slots=True)
class Style:
    """Staff height, width of the widest system, and height above which music is split.

    A sheet higher than ``max_height_mm`` becomes several pictures, divided between systems; a
    single system that is higher is left whole. ``is_justified``: the last line is as wide as the
    others, as in a score that goes on.
    """

    staff_height_mm: float = 7.0
    width_mm: float = 170.0
    max_height_mm: float = 250.0
    is_justified: bool = False

    def __post_init__(self) -> None:
        if not SMALLEST_MM <= self.staff_height_mm <= LARGEST_MM:
            raise EngraveError(
                f"a staff {self.staff_height_mm:g} mm high cannot be engraved",
                hint=f"staves are {SMALLEST_MM:g} to {LARGEST_MM:g} mm high; 7 is usual",
            )
        if self.width_mm < 8 * self.staff_height_mm:
            raise EngraveError(
                f"music {self.width_mm:g} mm wide is too narrow for staves "
                f"of {self.staff_height_mm:g} mm",
                hint="choose smaller staves or larger paper",
            )


@dataclass(frozen=True, slots=True)
class NotePlace:
    """Where a note or rest of a sheet stands in a picture: tone ``tone`` (0 for a rest) of event
    ``event`` of bar ``bar``, in the picture's system ``system``; its head's box in millimetres from
    the picture's upper left corner."""

    bar: int
    event: int
    tone: int
    system: int
    left_mm: float
    top_mm: float
    right_mm: float
    bottom_mm: float


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing of one or more whole systems, cut to its ink.

    ``svg`` has ``width`` and ``height`` in millimetres and a ``viewBox``; its text is text, in
    Source Serif Pro. ``staff_tops_mm`` are the top lines of all staves drawn, from the picture's
    upper edge; each staff is ``staff_height_mm`` high. ``notes`` says where the notes are.
    """

    svg: bytes
    width_mm: float
    height_mm: float
    systems: int
    staff_height_mm: float
    staff_tops_mm: tuple[float, ...]
    notes: tuple[NotePlace, ...] = ()

    @property
    def staves(self) -> int:
        """How many staves are drawn: those of a system times the systems."""
        return len(self.staff_tops_mm)


@dataclass(frozen=True, slots=True)
class Engraving:
    """One sheet, engraved: its pictures from the first system to the last."""

    pictures: tuple[Picture, ...]
