"""A MIDI file against the MusicXML of the same music, by readers that wrote neither.

music21 takes the MIDI file apart, verovio says when notes begin, ``rawxml`` whose they are.
Standard MIDI File 1.0: tempo is FF 51 03 and microseconds a quarter, ``60 000 000 / mark``.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from pathlib import Path
from typing import Any

from tests.checks.rawxml import RawPart, read_raw

HANDS = ("right hand", "left hand")


@dataclass(frozen=True)
class Promise:
    """What a file is to hold: so many times at each mark, ``unit`` quarters a beat."""

    unit: Fraction
    marks: Sequence[int]
    times: int = 3


@dataclass(frozen=True)
class Heard:
    """A MIDI file: ticks a quarter; tempo and markers by tick; strikes (tick, key) by track."""

    ticks: int
    tempos: list[tuple[int, int]]
    markers: list[tuple[int, str]]
    strikes: dict[str, list[tuple[int, int]]]
    end: int


def read_heard(data: bytes) -> Heard:
    """Read by music21's own MIDI reader."""
    from music21.midi import base as midi  # the package may be loaded without its modules

    file = midi.MidiFile()
    file.readstr(data)
    assert file.format == 1
    heard = Heard(file.ticksPerQuarterNote, [], [], {}, 0)
    ends = []
    for track in file.tracks:
        now, name, strikes = 0, "", []
        for event in track.events:
            if event.isDeltaTime():
                now += event.time
            elif event.type is midi.MetaEvents.SEQUENCE_TRACK_NAME:
                name = event.data.decode()
            elif event.type is midi.MetaEvents.SET_TEMPO:
                heard.tempos.append((now, int.from_bytes(event.data, "big")))
            elif event.type is midi.MetaEvents.MARKER:
                heard.markers.append((now, event.data.decode()))
            elif event.type is midi.ChannelVoiceMessages.NOTE_ON and event.velocity:
                strikes.append((now, event.pitch))
        heard.strikes[name] = strikes
        ends.append(now)
    return Heard(heard.ticks, heard.tempos, heard.markers, heard.strikes, max(ends))


def heard_findings(
    data: bytes, musicxml: Path, promise: Promise, raw: Mapping[str, Any]
) -> Iterator[str]:
    """What differs between the MIDI file and what the MusicXML and the ladder prescribe.

    ``raw`` is the drill's entry in the manifest.
    """
    heard, parts = read_heard(data), read_raw(musicxml)
    measures = parts[0].measures
    unit = promise.unit
    down, full = _pickup(parts), measures[0].full
    beats = max(ceil(full / unit), 2)
    count_in = (beats + (ceil(full / unit) if down else 0)) * unit - down
    length = sum((each.length for each in measures), Fraction(0))
    take = count_in + down + ceil((length - down) / unit) * unit
    starts = [take * number for number in range(promise.times * len(promise.marks))]
    tempos = [
        (round(starts[promise.times * number] * heard.ticks), round(60_000_000 / (mark * unit)))
        for number, mark in enumerate(promise.marks)
    ]
    if heard.tempos != tempos:
        yield f"{musicxml.name}: tempos {heard.tempos}, not {tempos}"
    if [tick for tick, _ in heard.markers] != [tick for tick, _ in tempos]:
        yield f"{musicxml.name}: markers {heard.markers}"
    yield from _strikes(heard, parts, [start + count_in for start in starts], musicxml, raw)
    yield from _timemap(heard, musicxml, parts, count_in)
    counted = sum(1 for tick, _ in heard.strikes["metronome"] if tick < count_in * heard.ticks)
    apart = unit / 2 if promise.marks[0] < 50 else unit
    if counted != ceil(count_in / apart):
        yield f"{musicxml.name}: {counted} clicks count in"
    if heard.end != round(take * len(starts) * heard.ticks):
        yield f"{musicxml.name}: ends at {heard.end}"


def _pickup(parts: tuple[RawPart, ...]) -> Fraction:
    first = parts[0].measures[0]
    shorter = first.implicit and first.length < first.full and len(parts[0].measures) > 1
    return first.length if shorter else Fraction(0)


def _strikes(
    heard: Heard,
    parts: tuple[RawPart, ...],
    zeros: Sequence[Fraction],
    path: Path,
    raw: Mapping[str, Any],
) -> Iterator[str]:
    """Every key goes down on its tick in every take, and no other; each on its hand's track.

    Whose hand it is no MusicXML says: a drill of one hand is all on that track, and of both hands
    each has the keys that the manifest's source gives it.
    """
    loose = any(n.loose for part in parts for each in part.measures for n in each.notes)
    wanted = {
        (start + note.onset, _midi(note.pitch))
        for part in parts
        for start, measure in zip(part.starts, part.measures, strict=True)
        for note in measure.notes
        if note.pitch and not note.grace and not note.tied_from
    }
    expected = {(round((zero + time) * heard.ticks), key) for zero in zeros for time, key in wanted}
    tracks = {hand: heard.strikes[f"{hand} hand"] for hand in ("right", "left")}
    found = {strike for strikes in tracks.values() for strike in strikes}
    if not loose and found != expected:
        yield f"{path.name}: strikes differ at (tick, key) {sorted(found ^ expected)[:3]}"
    if loose and not found & expected:
        yield f"{path.name}: nothing is struck"
    for hand, strikes in tracks.items():
        if raw["hand"] not in (hand, "both"):
            if strikes:
                yield f"{path.name}: the {hand} hand plays"
        elif raw["hand"] == "both" and not loose and "pitches" not in raw:
            keys = {key for _, key in strikes}
            of_hand = {
                midi + 12 * raw.get("octaves", 0)
                for indices in raw["written"]
                for index in indices
                if raw["source"][index]["hand"] == hand
                for midi in raw["source"][index]["midi"]
            }
            if keys != of_hand:
                yield f"{path.name}: the {hand} hand has keys {sorted(keys ^ of_hand)[:5]} amiss"


def _midi(pitch: tuple[str, int, int]) -> int:
    step, alter, octave = pitch
    return (
        12 * (octave + 1) + {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}[step] + alter
    )


def _timemap(heard: Heard, path: Path, parts: tuple[RawPart, ...], zero: Fraction) -> Iterator[str]:
    """In the first take, verovio's onsets are ours within a tick."""
    import verovio

    toolkit = verovio.toolkit()
    toolkit.setOptions({"expandNever": True})
    assert toolkit.loadFile(str(path))
    stamps = [Fraction(e["qstamp"]) for e in toolkit.renderToTimemap() if e.get("on")]
    ours = sorted({tick for hand in HANDS for tick, _ in heard.strikes[hand]})
    struck = {
        start + note.onset
        for part in parts
        for start, measure in zip(part.starts, part.measures, strict=True)
        for note in measure.notes
        if note.pitch and not note.loose and not note.tied_from
    }
    theirs = sorted(float((stamp + zero) * heard.ticks) for stamp in stamps)
    for time in sorted(struck):
        tick = float((time + zero) * heard.ticks)
        for name, found in (("the file", ours), ("verovio", theirs)):
            if not any(abs(each - tick) <= 1 for each in found):
                yield f"{path.name}: {name} strikes nothing at {time} quarters"
