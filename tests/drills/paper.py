"""Drills as text, to be held against what a player would have written by hand.

``printed`` gives every bar of a sheet: ``[41] G4:1 3/4, A4:2 1/4 | ~A4 1, - 1 |]``. A chord is
``C4:1+E4:3``, ``~`` a tie on the side it comes from or goes to, ``-`` a rest (``.`` a hidden one,
``--`` one of a whole bar), ``>`` an accent, ``'`` a dot, ``_`` a line, ``*`` a grace note. Before a
bar stands its meter where it is printed anew, and in brackets its length where that is not the
meter's; voices are parted by ``//``, systems by ``¶``.
"""

from collections.abc import Iterable, Iterator

from engrave.music.drill import Drill, Remark
from engrave.music.sheet import Bar, Event, Sheet

SIGNS = {"accent": ">", "strong-accent": "^", "staccato": "'", "tenuto": "_"}
BARLINES = {None: "|", "light-light": "||", "light-heavy": "|]"}


def printed(sheet: Sheet) -> str:
    """The bars of a sheet."""
    text, meter = "", ""
    for bar in sheet.bars:
        shown = str(bar.meter) if bar.meter_shown else f"({bar.meter})"
        if bar.system_break:
            text += " ¶ "
        elif text:
            text += " "
        text += f"{shown} " if shown != meter else ""
        text += f"[{bar.length}] " if not bar.is_full else ""
        text += "(uncounted) " if bar.implicit else ""
        text += " // ".join(_voices(bar)) + f" {BARLINES[bar.barline]}"
        meter = shown
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
        yield ", ".join(words)


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
    return f"({told((value,))[0]})" if isinstance(value, Remark) else str(value)


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
