"""The marks file with all of its mistakes: its own, and measures that the score does not have.

Enters: a path. Leaves: ``Marks``. A file with mistakes is held against the measures' names alone,
before anything heavy is loaded.
"""

from dataclasses import replace
from pathlib import Path

from engrave.drills import OPTIONS
from engrave.marks import Marks, MarksMistakes, read_marks
from engrave.score.first_look import measure_names
from engrave.score.places import missing_measures


def read_checked_marks(path: Path) -> Marks:
    """The marks at ``path``; raises ``MarksMistakes`` with all that can be said without the score.

    What is legible then are the passages in measures that the score has.
    """
    try:
        return read_marks(path, OPTIONS)
    except MarksMistakes as mistakes:
        legible = mistakes.legible
        names = measure_names(legible.score.value) if legible else ()
        if legible is None or not names:
            raise
        places = [each.measures for each in legible.passages]
        places += [each.measures for each in legible.all_hand_marks]
        missing = [
            error.at(place.source)
            for place in places
            if (error := missing_measures(names, place.value))
        ]
        known = tuple(
            each for each in legible.passages if not missing_measures(names, each.measures.value)
        )
        raise MarksMistakes(
            [*mistakes.errors, *missing], replace(legible, passages=known)
        ) from mistakes
