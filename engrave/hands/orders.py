"""What the teacher says of the hands, at the notes of the score.

Enters: ``HandMark``s, the score and its strokes. Leaves nothing but mistakes: the notes that are
meant are bound. What is said of a key wins over what is said of a voice, and that over a staff;
of equals a passage wins over the file.
"""

from collections.abc import Iterator, Sequence

from engrave.errors import EngraveError, Together
from engrave.hands.strokes import Note, Strokes, ticks
from engrave.marks.model import HandMark
from engrave.music.ranges import measures_text
from engrave.music.sheet import Event, Sheet
from engrave.score import Score, locate

STAVES = {1: ("upper",), 2: ("upper", "lower")}


def bind_by_marks(marks: Sequence[HandMark], score: Score, strokes: Strokes) -> None:
    """Bind the notes that the marks give to a hand; raises ``Mistakes`` where they do not fit."""
    told = Together()
    for mark in sorted(marks, key=lambda mark: (_rank(mark), mark.in_passage)):
        with told:
            try:
                meant = _meant(mark, score, strokes)
            except EngraveError as error:
                raise error.at(mark.source) from None
            for note in meant:
                note.bound, note.why = mark.hand, "marks"
    told.raise_all()


def _rank(mark: HandMark) -> int:
    return 2 if mark.pitch else 1 if mark.stems else 0


def _meant(mark: HandMark, score: Score, strokes: Strokes) -> list[Note]:
    try:
        start, end = locate(score, mark.measures.value)
    except EngraveError as error:
        raise error.at(mark.measures.source) from None
    first, last = (strokes.starts[at.bar] + ticks(at.offset) for at in (start, end))
    here = [note for stroke in strokes.all if first <= stroke.time < last for note in stroke.notes]
    staff = _staff(mark, strokes.staves)
    meant = [note for note in here if _is_meant(note, mark, staff, score.sheet)]
    if not meant:
        raise _nothing(mark, here, score.sheet)
    return meant


def _staff(mark: HandMark, staves: int) -> int | None:
    """The number of the staff that is named; None where none is."""
    if not mark.staff:
        return None
    number = {"upper": 1, "lower": staves}.get(mark.staff) or int(mark.staff)
    if number > staves or (mark.staff == "lower" and staves == 1):
        raise EngraveError(
            f"the score has no staff {mark.staff}"
            if number > staves
            else "the score has one staff",
            hint="name a staff that it has: " + ", ".join(staff_names(staves)),
        )
    return number


def staff_names(staves: int) -> tuple[str, ...]:
    """What the staves are called in the marks, from the top."""
    return STAVES.get(staves) or tuple(str(number) for number in range(1, staves + 1))


def _is_meant(note: Note, mark: HandMark, staff: int | None, sheet: Sheet) -> bool:
    bar, index, tone = note.parts[0]
    event = sheet.bars[bar].events[index]
    if staff is not None and note.staff != staff:
        return False
    if mark.pitch is not None and event.tones[tone].pitch != mark.pitch:
        return False
    return mark.stems is None or stem_of(event, sheet.bars[bar].events) == mark.stems


def stem_of(event: Event, beside: Sequence[Event]) -> str:
    """``up`` or ``down``: as the source has it; else of two voices on a staff the first has up."""
    if event.stem in ("up", "down"):
        return event.stem
    voices = {e.voice for e in beside if e.staff == event.staff and e.tones and not e.grace}
    return "up" if event.voice == min(voices) else "down"


def _nothing(mark: HandMark, here: Sequence[Note], sheet: Sheet) -> EngraveError:
    place = measures_text(mark.measures.value)
    if mark.pitch is None:
        what = f"{mark.staff} staff" + (f" with stems {mark.stems}" if mark.stems else "")
        return EngraveError(f"nothing is struck on the {what} in {place}")
    keys = dict.fromkeys(_spellings(here, sheet))
    struck = ", ".join(list(keys)[:12]) + (" …" if len(keys) > 12 else "")
    hint = f"struck there: {struck}" if keys else ""
    return EngraveError(f"{mark.pitch.spelling} is not struck in {place}", hint=hint)


def _spellings(notes: Sequence[Note], sheet: Sheet) -> Iterator[str]:
    for note in notes:
        bar, index, tone = note.parts[0]
        yield sheet.bars[bar].events[index].tones[tone].pitch.spelling
