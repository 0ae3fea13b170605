"""Drills as text, to be held against what a player would have written by hand.

``printed`` gives every bar of a sheet: ``[41] G4:1 3/4, A4:2 1/4 | ~A4 1, - 1 |]``. A chord is
``C4:1+E4:3``, ``~`` a tie on the side it comes from or goes to, ``-`` a rest (``.`` a hidden one,
``--`` one of a whole bar), ``>`` an accent, ``'`` a dot, ``_`` a line, ``*`` a grace note. Before a
bar stand its meter and its key, ``3b``, where they are printed anew, and in brackets its length
where that is not the meter's; voices are parted by ``//``, systems by ``¶``; a voice that is not
the first of its staff has its number, ``v2:``.

``written`` reads such bars, their voices named by staff and voice: ``1.2: L C5:1+E5 1/2, - 1/2``;
``L`` and ``R`` are hands where they are not the staff's.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from engrave.music.drill import Drill
from engrave.music.notes import Finger, FingerOrigin, Hand, Pitch, Value
from engrave.music.sheet import (
    BASS,
    TREBLE,
    Bar,
    ClefChange,
    Event,
    KeySignature,
    Meter,
    Sheet,
    Tone,
)
from engrave.music.values import single
from engrave.passage.model import Passage
from engrave.passage.onsets import onsets
from engrave.remarks import Remark
from tests.drills.builders import passage

SIGNS = {"accent": ">", "strong-accent": "^", "staccato": "'", "tenuto": "_"}
BARLINES = {None: "|", "light-light": "||", "light-heavy": "|]"}


def printed(sheet: Sheet) -> str:
    """The bars of a sheet."""
    text, meter, key = "", "", 0
    for bar in sheet.bars:
        shown = str(bar.meter) if bar.meter_shown else f"({bar.meter})"
        if bar.system_break:
            text += " ¶ "
        elif text:
            text += " "
        text += f"{shown} " if shown != meter else ""
        fifths = bar.key.fifths
        text += f"{abs(fifths)}{'#' if fifths > 0 else 'b'} " if fifths != key else ""
        text += f"[{bar.length}] " if not bar.is_full else ""
        text += "(uncounted) " if bar.implicit else ""
        text += " // ".join(_voices(bar)) + f" {BARLINES[bar.barline]}"
        meter, key = shown, fifths
    return text


def _voices(bar: Bar) -> Iterator[str]:
    lines: dict[tuple[int, int], list[Event]] = {}
    for event in bar.events:
        lines.setdefault((event.staff, event.voice), []).append(event)
    first_of_staff = dict(sorted(lines, reverse=True))
    for (staff, voice), events in sorted(lines.items()):
        signs = [
            *((change.offset, f"{{{change.clef.sign}}}", change.staff) for change in bar.clefs),
            *((sign.offset, f'"{sign.text}"', sign.staff) for sign in bar.directions),
        ]
        mine = [
            (offset, text)
            for offset, text, where in signs
            if where == staff and first_of_staff[staff] == voice
        ]
        words = []
        for event in events:
            due = [text for offset, text in mine if offset <= event.offset]
            mine = [each for each in mine if each[0] > event.offset]
            words.append(" ".join([*due, _event(event)]))
        assert not mine, mine
        number = "" if (staff, voice) in ((1, 1), (2, 5)) else f"v{voice}: "
        yield number + ", ".join(words)


def _event(event: Event) -> str:
    label = f"[{event.label}] " if event.label else ""
    if event.is_rest:
        return f"{label}{'.' if event.silent else '--' if event.whole_bar else '-'} {event.length}"
    tones = "+".join(
        ("~" if tone.tie_in else "")
        + tone.pitch.spelling
        + (f":{tone.finger.number}" if tone.finger else "")
        + ("~" if tone.tie_out else "")
        for tone in event.tones
    )
    signs = "".join(SIGNS.get(name, name) for name in event.articulations)
    roll = "roll " if event.arpeggio else ""
    return f"{label}{roll}{'*' if event.grace else ''}{tones}{signs} {event.length}"


def told(remarks: tuple[Remark, ...]) -> list[str]:
    """``rhythms.cycle count=12``."""
    return [
        " ".join([remark.key, *(f"{name}={_value(value)}" for name, value in remark.values)])
        for remark in remarks
    ]


def _value(value: object) -> str:
    if isinstance(value, list):
        return f"[{', '.join(map(_value, value))}]"
    return told((value,))[0] if isinstance(value, Remark) else str(value)


def paper(drills: Iterable[Drill]) -> str:
    """``long-short, 60–120 of 1: 2/4 …``: drill by drill its variant, its ladder, its bars.

    Of the ladder stand the first and the last mark, and which part of a quarter they count.
    """
    return " ".join(
        f"{drill.variant}{f'.{drill.suffix}' if drill.suffix else ''}, "
        f"{drill.ladder.marks[0]}–{drill.ladder.marks[-1]} of {drill.ladder.beat_unit}: "
        f"{printed(drill.sheet)}"
        for drill in drills
    )


def lines(text: str) -> str:
    """A text of ``paper`` as it is broken into lines in a test."""
    return " ".join(text.split())


def written(meter: Meter, *bars: Sequence[str], hands: tuple[Hand, ...] = tuple(Hand)) -> Passage:
    """A passage of such bars, for both hands unless others are marked."""
    clefs = (ClefChange(Fraction(0), 1, TREBLE), ClefChange(Fraction(0), 2, BASS))
    sheet = Sheet(
        tuple(
            Bar(
                str(number),
                max(event.end for event in events),
                meter,
                KeySignature(0),
                events,
                clefs if number == 41 else (),
                implicit=max(event.end for event in events) != meter.length,
            )
            for number, voices in enumerate(bars, 41)
            if (events := tuple(event for voice in voices for event in _read(voice)))
        )
    )
    lines = {hand: onsets(sheet, hand) for hand in Hand}
    return replace(passage([("C4", "1")], hands=hands), sheet=sheet, lines=lines)


def _read(voice: str) -> Iterator[Event]:
    where, words = voice.split(": ", 1)
    staff, number = map(int, where.split("."))
    now = Fraction(0)
    for word in words.split(", "):
        *hand, keys, length = word.split()
        quarters = Fraction(length)
        grace = keys.startswith("*")
        yield Event(
            offset=now,
            length=quarters,
            value=single(quarters) or Value("eighth"),
            tones=() if keys in "-." else tuple(map(_tone, keys.lstrip("*").split("+"))),
            hand={"L": Hand.LEFT, "R": Hand.RIGHT}[hand[0] if hand else "RL"[staff - 1]],
            staff=staff,
            voice=number,
            grace=grace,
            silent=keys == ".",
        )
        now += quarters


def _tone(text: str) -> Tone:
    name, _, finger = text.strip("~").partition(":")
    return Tone(
        Pitch.parse(name),
        Finger(int(finger), FingerOrigin.MARKS) if finger else None,
        tie_in=text.startswith("~"),
        tie_out=text.endswith("~"),
    )
