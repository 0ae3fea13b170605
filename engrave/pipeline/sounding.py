"""What a booklet's drills sound like, as files.

Enters: ``Checked``. Leaves: files by name. Knows no pages.
"""

from collections.abc import Iterator, Mapping
from functools import partial

from engrave.errors import Notice
from engrave.machine.cache import Cache, key_of
from engrave.machine.packed import PackedFiles
from engrave.machine.raised import busy_with
from engrave.music.drill import Drill, Ladder
from engrave.music.sheet import Sheet
from engrave.pipeline.checking import Checked
from engrave.pipeline.drawing import title_of
from engrave.remarks import Remark
from engrave.words import say

TODAY = 3
"""Marks of one day's practice: where to go on, and the two after it."""


def midi_files(checked: Checked, cache: Cache) -> PackedFiles:
    """``drills/ID.mid`` of every drill and ``passages/ID.mid`` of every passage."""
    files = PackedFiles()
    for drilled in checked.passages:
        passage = drilled.passage
        heard = {
            f"drills/{each.id}.mid": (each.sheet, each.sounding_ladder, title_of(checked, each))
            for each in drilled.drills
        }
        ladder = drilled.written.ladder
        heard[f"passages/{passage.id}.mid"] = (passage.sheet, ladder, passage.label)
        with busy_with(passage.source):
            files.update(_written(heard, cache))
    return files


def audio_files(checked: Checked, cache: Cache) -> PackedFiles:
    """``drills/ID.mp3`` of every drill: counted in and played once at each of today's marks."""

    def make(each: Drill) -> bytes:
        from engrave.sound import climb, marks_ahead, mp3

        return mp3(climb(each.sheet, each.ladder, marks_ahead(each.ladder)[:TODAY], times=1))

    return PackedFiles(
        (
            f"drills/{each.id}.mp3",
            cache.made(key_of("mp3", each.sheet, each.ladder), partial(make, each)),
        )
        for each in checked.drills
    )


def unheard(checked: Checked) -> Iterator[Notice]:
    """What of each passage is printed and not played."""
    from engrave.sound import unplayed

    for drilled in checked.passages:
        items = unplayed(drilled.passage.sheet)
        if items:
            said = say(Remark.of("unplayed.sentence", items=items))
            yield Notice(f"{drilled.passage.id}: {said}", drilled.passage.source)


def _written(heard: Mapping[str, tuple[Sheet, Ladder, str]], cache: Cache) -> Mapping[str, bytes]:
    def make() -> dict[str, bytes]:
        from engrave.sound import climb, marks_ahead, midi

        return {
            name: midi(climb(sheet, ladder, marks_ahead(ladder)), title)
            for name, (sheet, ladder, title) in heard.items()
        }

    return cache.made(key_of("midi", heard), make)
