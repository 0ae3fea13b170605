"""A whole file, byte by byte, as Standard MIDI File 1.0 and General MIDI 1 have it."""

from dataclasses import replace
from fractions import Fraction
from itertools import accumulate

import pytest

from engrave.music.drill import Ladder
from engrave.music.notes import Hand
from engrave.music.sheet import Meter
from engrave.sound import Sounding, Timeline, climb, midi
from engrave.sound.climbing import Climb, Take
from engrave.sound.midi_file import ticks_per_quarter
from tests.checks.heard import read_heard
from tests.drills.builders import even, sheet

QUARTERS = Ladder(Fraction(1), (120,))

HEADER = "4d546864 00000006 0001 0004 01e0"
"""``MThd``, six bytes: format 1, four tracks, 480 ticks a quarter."""

CONDUCTOR = (
    "00 ff 03 01 78",  # the title, x
    "00 ff 51 03 07a120",  # 500 000 microseconds a quarter: 120 a minute
    "00 ff 06 0d 71756172746572203d20313230",  # a marker: quarter = 120
    "00 ff 58 04 02 02 18 08",  # two quarters a bar; 24 clocks a click; eight 32nds a quarter
    "8f00 ff 2f 00",  # ends after 1920 ticks, two bars
)
RIGHT = (
    "00 ff 03 0a 72696768742068616e64",  # right hand
    "00 c0 00",  # channel 1 is a piano
    "8740 90 48 4a",  # after a bar of 960 ticks C5, mezzo-forte
    "8170 80 48 40",  # an eighth, 240 ticks, later it goes up,
    "00 90 48 4a",  # before it goes down again
    "8170 80 48 40",
    "00 90 4c 4a",
    "8360 80 4c 40",  # a quarter
    "00 ff 2f 00",
)
LEFT = (
    "00 ff 03 09 6c6566742068616e64",  # left hand
    "00 c1 00",
    "8740 91 30 4a",
    "8740 81 30 40",
    "00 ff 2f 00",
)
CLICKS = (
    "00 ff 03 09 6d6574726f6e6f6d65",  # metronome
    "00 99 4c 6e 3c 89 4c 40",  # high wood block, 76, then low, 77
    "8324 99 4d 5a 3c 89 4d 40",
    "8324 99 4c 6e 3c 89 4c 40",
    "8324 99 4d 5a 3c 89 4d 40",
    "8324 ff 2f 00",
)


def track(events: tuple[str, ...]) -> bytes:
    data = bytes.fromhex(" ".join(events))
    return b"MTrk" + len(data).to_bytes(4, "big") + data


def test_a_file_is_what_the_standard_says_to_the_byte() -> None:
    music = sheet([("C5", "1/2"), ("C5", "1/2"), ("E5", "1")], [("C3", "2")])
    written = midi(climb(music, QUARTERS, (120,), times=1), "x")
    assert written == bytes.fromhex(HEADER) + b"".join(map(track, (CONDUCTOR, RIGHT, LEFT, CLICKS)))


def test_meters_stand_where_they_change_in_every_take() -> None:
    """FF 58: the lower figure is a power of two; the click counts 24 clocks a quarter."""
    first = sheet(even("C5 D5 E5 F5", "1"))
    second = replace(first.bars[1], meter=Meter(6, 8), length=Fraction(3))
    music = replace(first, bars=(first.bars[0], second))
    dotted = Ladder(Fraction(3, 2), (60, 72))
    written = midi(climb(music, dotted, (60, 72), times=2), "x")
    assert written.count(bytes.fromhex("ff580402022408")) == 4
    assert written.count(bytes.fromhex("ff580406032408")) == 4
    assert written.count(b"\xff\x06\x13dotted-quarter = 60") == 1
    assert written.count(b"\xff\x51\x03") == 2


def test_a_meter_that_stays_is_said_once() -> None:
    written = midi(climb(sheet(even("C5 " * 8, "1")), QUARTERS, (120,)), "x")
    assert written.count(b"\xff\x58") == 1


def test_the_softest_click_is_the_one_between() -> None:
    slow = Ladder(Fraction(1), (40,))
    written = midi(climb(sheet(even("C5 D5", "1")), slow, (40,), times=1), "x")
    assert written.count(bytes.fromhex("994d28")) == 4
    assert written.count(bytes.fromhex("994c6e")) == 2
    assert written.count(bytes.fromhex("994d5a")) == 2


def parts(*denominators: int) -> Climb:
    """A drill of a quarter whose keys go down so many parts of it after its beginning."""
    struck = tuple(
        Sounding(72, Hand.RIGHT, Fraction(1, each), Fraction(1, each), Fraction(1), 74, ())
        for each in denominators
    )
    heard = Timeline(96, Fraction(1), Fraction(2), Fraction(4), struck, ())
    return Climb(sheet([("C5", "2")]), (Take(Fraction(0), heard),))


@pytest.mark.parametrize(
    ("denominators", "ticks"),
    [
        ((1,), 480),
        ((3, 5, 32), 480),
        ((7,), 3360),
        ((9,), 1440),
        ((7, 9), 10080),
        ((7, 11), 77 * 6),  # 480 times 77 is more than 15 bits hold
        ((7, 11, 13, 17), 17017),
        ((32767,), 32767),  # 2 ** 15 - 1 is the most
        ((7, 11, 13, 17, 19), 32640),
    ],
)
def test_so_many_ticks_that_all_falls_on_one(denominators: tuple[int, ...], ticks: int) -> None:
    assert ticks_per_quarter(parts(*denominators)) == ticks


def test_where_no_number_holds_all_a_key_is_off_by_half_a_tick_at_most() -> None:
    played = parts(7, 11, 13, 17, 19)
    heard = read_heard(midi(played, "x"))
    found = [Fraction(tick, heard.ticks) - 2 for tick, _ in heard.strikes["right hand"]]
    exact = sorted(Fraction(1, each) for each in (7, 11, 13, 17, 19))
    assert all(
        abs(a - b) * heard.ticks <= Fraction(1, 2) for a, b in zip(found, exact, strict=True)
    )


def test_printed_onsets_fall_on_ticks_where_ends_find_none() -> None:
    (take,) = parts(7).takes
    long = replace(take.heard.soundings[0], length=Fraction(1, 10007))
    played = replace(parts(7), takes=(replace(take, heard=replace(take.heard, soundings=(long,))),))
    assert ticks_per_quarter(played) == 3360


def test_takes_follow_each_other_without_a_gap() -> None:
    played = climb(sheet(even("C5 D5", "1")), Ladder(Fraction(1), (96, 104)), (96, 104), times=2)
    assert [take.heard.mark for take in played.takes] == [96, 96, 104, 104]
    assert [take.start for take in played.takes] == [0, 4, 8, 12]
    assert [take.zero for take in played.takes] == list(accumulate((2, 4, 4, 4)))
    assert played.end == 16
