"""Tuplets over several beats: one bracket, read back by partitura and by verovio.

MusicXML 4.0, ``time-modification``: ``actual-notes`` in the time of ``normal-notes``, any numbers.
"""

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from engrave.drills.barring import Written, bar_up, rooms
from engrave.music.notes import Hand, Pitch
from engrave.music.sheet import KeySignature, Meter, Sheet, Tone
from engrave.notation import musicxml
from tests.engraver.test_timemap import check
from tests.notation.test_readback import read, written
from tests.schema import validate


def line(meter: Meter, edges: Sequence[Fraction]) -> Sheet:
    """Notes of a right hand between the edges, in bars of the meter."""
    notes = [
        Written(start, end - start, (Tone(Pitch("CDEFGAB"[number % 7], 0, 5)),), Hand.RIGHT)
        for number, (start, end) in enumerate(pairwise(edges))
    ]
    return bar_up([notes], rooms(meter, edges[-1]), KeySignature(0), (1,))


def even(start: str, end: str, count: int, rest: str) -> list[Fraction]:
    """The edges of so many notes of one length, and of one that follows."""
    first, last = Fraction(start), Fraction(end)
    return [first + (last - first) * place / count for place in range(count + 1)] + [Fraction(rest)]


LINES = {
    "thirteen over two beats": (Meter(4, 4), even("0", "2", 13, "4"), (13, 8)),
    "over the second and third": (Meter(4, 4), [Fraction(0), *even("1", "3", 13, "4")], (13, 8)),
    "over three beats": (Meter(3, 4), even("0", "3", 17, "6"), (17, 12)),
    "over four": (Meter(4, 4), even("0", "4", 19, "8"), (19, 16)),
    "over a dotted beat": (Meter(6, 8), even("0", "3/2", 13, "3"), (13, 12)),
    "the first held": (Meter(2, 4), [Fraction(0), *even("0", "2", 13, "4")[4:]], (13, 8)),
}  # fmt: skip


@pytest.mark.parametrize("name", LINES)
def test_it_is_read_back_as_it_was_meant(name: str) -> None:
    meter, edges, (actual, normal) = LINES[name]
    sheet = line(meter, edges)
    document = musicxml(sheet)
    validate(document)
    assert read(document) == written(sheet)
    check(sheet)
    struck = [time for time, _, event in sheet.timed() if event.is_struck]
    assert struck == edges[:-1]
    root = ElementTree.fromstring(document)
    ratios = {
        (each.findtext("actual-notes"), each.findtext("normal-notes"))
        for each in root.iterfind(".//time-modification")
    }
    assert ratios == {(str(actual), str(normal))}
    assert [each.get("type") for each in root.iterfind(".//tuplet")] == ["start", "stop"]
