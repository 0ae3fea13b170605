"""A climb as a Standard MIDI File 1.0, format 1: conductor, right hand, left hand, clicks.

Enters: a ``Climb`` and its title. Leaves: bytes, the same for the same climb. ``mido`` writes them.
"""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from io import BytesIO
from math import lcm
from typing import Any, TypeAlias

from engrave.music.notes import Hand
from engrave.music.tempo import beat_name
from engrave.music.units import Quarters
from engrave.sound.climbing import Climb, Take
from engrave.sound.model import Stress

LEAST_TICKS, MOST_TICKS = 480, 32767
"""Ticks a quarter; the format has 15 bits for them."""

CLICKS = {Stress.BAR: (76, 110), Stress.BEAT: (77, 90), Stress.BETWEEN: (77, 40)}
"""High and low wood block of the General MIDI percussion map, and their velocities."""

_PERCUSSION = 9
_CHANNELS = {Hand.RIGHT: 0, Hand.LEFT: 1}
_MICROSECONDS = 60_000_000

_Timed: TypeAlias = tuple[Quarters, int, Any]
"""A message, when, and its rank at that moment: keys go up before others go down."""


def midi(played: Climb, title: str) -> bytes:
    """The file; ``title`` names it."""
    import mido

    ticks = ticks_per_quarter(played)
    file = mido.MidiFile(type=1, ticks_per_beat=ticks, charset="utf-8")
    file.tracks.append(_track(title, _conducted(played), ticks, played.end))
    for hand, channel in _CHANNELS.items():
        messages = _keys(played, hand, channel)
        file.tracks.append(_track(f"{hand} hand", messages, ticks, played.end))
    file.tracks.append(_track("metronome", _clicks(played), ticks, played.end))
    written = BytesIO()
    file.save(file=written)
    return written.getvalue()


def ticks_per_quarter(played: Climb) -> int:
    """So many that everything falls on a tick; grace notes and ends round where that is too many.

    What is printed comes first. Where even that has no common measure within the format, as many
    as fit: onsets are then off by less than half a tick, a thousandth of a beat.
    """
    heard = [take.heard for take in played.takes]
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


def _conducted(played: Climb) -> Iterable[_Timed]:
    """Tempo and a marker at each mark; meters where they begin."""
    from mido import MetaMessage

    mark = meter = None
    for take in played.takes:
        heard = take.heard
        if heard.mark != mark:
            mark = heard.mark
            tempo = round(_MICROSECONDS / (mark * heard.unit))
            yield take.start, 0, MetaMessage("set_tempo", tempo=tempo)
            yield take.start, 1, MetaMessage("marker", text=f"{beat_name(heard.unit)} = {mark}")
        for start, told in _meters(played, take):
            if told != meter:
                meter = told
                yield (
                    start,
                    2,
                    MetaMessage(
                        "time_signature",
                        numerator=told.beats,
                        denominator=told.beat_type,
                        clocks_per_click=min(255, int(24 * heard.unit)),
                    ),
                )


def _meters(played: Climb, take: Take) -> Iterable[tuple[Quarters, Any]]:
    bars = played.sheet.bars
    yield take.start, bars[0].meter
    for start, bar in zip(played.sheet.starts[1:], bars[1:], strict=True):
        yield take.zero + start, bar.meter


def _keys(played: Climb, hand: Hand, channel: int) -> Iterable[_Timed]:
    from mido import Message

    yield Fraction(0), 0, Message("program_change", channel=channel, program=0)
    for take in played.takes:
        for each in take.heard.soundings:
            if each.hand is hand:
                note = {"channel": channel, "note": each.key}
                down = Message("note_on", velocity=each.loudness, **note)
                yield take.zero + each.start, 2, down
                yield take.zero + each.end, 1, Message("note_off", velocity=64, **note)


def _clicks(played: Climb) -> Iterable[_Timed]:
    from mido import Message

    for take in played.takes:
        for click in take.heard.clicks:
            key, velocity = CLICKS[click.stress]
            note = {"channel": _PERCUSSION, "note": key}
            at = take.zero + click.time
            yield at, 2, Message("note_on", velocity=velocity, **note)
            yield at + take.heard.unit / 8, 1, Message("note_off", velocity=64, **note)


def _track(name: str, messages: Iterable[_Timed], ticks: int, end: Quarters) -> Any:
    from mido import MetaMessage, MidiTrack

    track = MidiTrack([MetaMessage("track_name", name=name, time=0)])
    now = 0
    for tick, message in _in_order(messages, ticks):
        message.time = tick - now
        track.append(message)
        now = tick
    track.append(MetaMessage("end_of_track", time=max(0, round(end * ticks) - now)))
    return track


def _in_order(messages: Iterable[_Timed], ticks: int) -> Sequence[tuple[int, Any]]:
    placed = [(round(time * ticks), rank, message) for time, rank, message in messages]
    placed.sort(key=lambda each: each[:2])
    return [(tick, message) for tick, _, message in placed]
