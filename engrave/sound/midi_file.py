"""A climb as a Standard MIDI File 1.0, format 1: conductor, right hand, left hand, clicks.

Enters: a ``Climb`` and its title. Leaves: bytes, the same for the same climb. ``mido`` writes them.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from fractions import Fraction
from functools import partial
from io import BytesIO
from itertools import groupby
from math import lcm
from typing import Any, TypeAlias, TypeVar

from engrave.music.notes import Hand
from engrave.music.tempo import beat_name
from engrave.music.units import Quarters
from engrave.sound.climbing import Climb, Take
from engrave.sound.model import Click, Sounding, Stress, Timeline

T = TypeVar("T")

LEAST_TICKS, MOST_TICKS = 480, 32767
"""Ticks a quarter; the format has 15 bits for them."""

CLICKS = {Stress.BAR: (76, 110), Stress.BEAT: (77, 90), Stress.BETWEEN: (77, 40)}
"""High and low wood block of the General MIDI percussion map, and their velocities."""

_PERCUSSION = 9
_CHANNELS = {Hand.RIGHT: 0, Hand.LEFT: 1}
_MICROSECONDS = 60_000_000

_Timed: TypeAlias = tuple[Quarters, bool, Any]
"""A message, when, and whether others of that moment come first: keys go up before others go down.
"""

_Ticked: TypeAlias = tuple[int | Fraction, bool, Any]
"""The same in ticks: mostly whole ones, which are quick to add."""


def midi(played: Climb, title: str) -> bytes:
    """The file; ``title`` names it."""
    import mido
    from mido import Message

    ticks = ticks_per_quarter(played)
    file = mido.MidiFile(type=1, ticks_per_beat=ticks, charset="utf-8")
    end = round(played.end * ticks)
    conducted = [(time * ticks, False, message) for time, message in _conducted(played)]
    file.tracks.append(_track(title, conducted, end))
    for hand, channel in _CHANNELS.items():
        program = Message("program_change", channel=channel, program=0)
        keys = _in_every_take(
            played, ticks, partial(_keys, hand=hand), lambda heard: heard.soundings
        )
        file.tracks.append(_track(f"{hand} hand", [(0, False, program), *keys], end))
    unit = played.takes[0].heard.unit
    clicks = _in_every_take(played, ticks, partial(_clicks, unit=unit), lambda heard: heard.clicks)
    file.tracks.append(_track("metronome", clicks, end))
    written = BytesIO()
    file.save(file=written)
    return written.getvalue()


def ticks_per_quarter(played: Climb) -> int:
    """So many that everything falls on a tick; grace notes and ends round where that is too many.

    What is printed comes first. Where even that has no common measure within the format, as many
    as fit: onsets are then off by less than half a tick, a thousandth of a beat.
    """
    heard = [one for one, _ in groupby(take.heard for take in played.takes)]
    printed = {each.onset for one in heard for each in one.soundings}
    printed |= {click.time for one in heard for click in one.clicks}
    printed |= {edge for one in heard for edge in (one.count_in, one.end)}
    exact = {edge for one in heard for each in one.soundings for edge in (each.start, each.end)}
    for times in (printed | exact, printed):
        common = lcm(*(each.denominator for each in times))
        for ticks in (lcm(LEAST_TICKS, common), common * max(1, LEAST_TICKS // common)):
            if ticks <= MOST_TICKS:
                return ticks
    return MOST_TICKS // LEAST_TICKS * LEAST_TICKS


def _conducted(played: Climb) -> Iterable[tuple[Quarters, Any]]:
    """Tempo and a marker at each mark; meters where they begin."""
    from mido import MetaMessage

    mark = meter = None
    for take in played.takes:
        heard = take.heard
        if heard.mark != mark:
            mark = heard.mark
            tempo = round(_MICROSECONDS / (mark * heard.unit))
            yield take.start, MetaMessage("set_tempo", tempo=tempo)
            yield take.start, MetaMessage("marker", text=f"{beat_name(heard.unit)} = {mark}")
        for start, told in _meters(played, take):
            if told != meter:
                meter = told
                yield (
                    start,
                    MetaMessage(
                        "time_signature",
                        numerator=told.beats,
                        denominator=told.beat_type,
                        clocks_per_click=int(24 * heard.unit),
                    ),
                )


def _meters(played: Climb, take: Take) -> Iterable[tuple[Quarters, Any]]:
    bars = played.sheet.bars
    yield take.start, bars[0].meter
    for start, bar in zip(played.sheet.starts[1:], bars[1:], strict=True):
        yield take.zero + start, bar.meter


def _in_every_take(
    played: Climb,
    ticks: int,
    messages: Callable[[T], Iterable[_Timed]],
    of: Callable[[Timeline], T],
) -> Iterator[_Ticked]:
    """The messages of a part of what is heard, in ticks; made once for takes that have it alike."""
    for part, takes in groupby(played.takes, lambda take: of(take.heard)):
        once = [(_in_ticks(time, ticks), late, message) for time, late, message in messages(part)]
        for take in takes:
            zero = _in_ticks(take.zero, ticks)
            yield from ((zero + time, late, message) for time, late, message in once)


def _in_ticks(time: Quarters, ticks: int) -> int | Fraction:
    exact = time * ticks
    return exact.numerator if exact.denominator == 1 else exact


def _keys(struck: Iterable[Sounding], hand: Hand) -> Iterator[_Timed]:
    from mido import Message

    for each in struck:
        if each.hand is hand:
            note = {"channel": _CHANNELS[hand], "note": each.key}
            yield each.start, True, Message("note_on", velocity=each.loudness, **note)
            yield each.end, False, Message("note_off", velocity=64, **note)


def _clicks(clicks: Iterable[Click], unit: Quarters) -> Iterator[_Timed]:
    from mido import Message

    for click in clicks:
        key, velocity = CLICKS[click.stress]
        note = {"channel": _PERCUSSION, "note": key}
        yield click.time, True, Message("note_on", velocity=velocity, **note)
        yield click.time + unit / 8, False, Message("note_off", velocity=64, **note)


def _track(name: str, messages: Iterable[_Ticked], end: int) -> Any:
    from mido import MetaMessage, MidiTrack

    track = MidiTrack([MetaMessage("track_name", name=name, time=0)])
    now = 0
    for tick, message in _in_order(messages):
        own = message.copy()
        own.time = tick - now
        track.append(own)
        now = tick
    track.append(MetaMessage("end_of_track", time=max(0, end - now)))
    return track


def _in_order(messages: Iterable[_Ticked]) -> Sequence[tuple[int, Any]]:
    placed = [(round(time), late, message) for time, late, message in messages]
    placed.sort(key=lambda each: each[:2])
    return [(tick, message) for tick, _, message in placed]
