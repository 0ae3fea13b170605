"""What a drill plays, from its MusicXML alone, so that one that is another over again is found."""

import xml.etree.ElementTree as ET
from fractions import Fraction
from pathlib import Path

Played = tuple[object, ...]

_Place = tuple[Fraction, str, str]
"""When, on which staff, which key."""

HEARD = {"accent", "strong-accent", "staccato", "staccatissimo", "tenuto"}


def played(path: Path) -> Played:
    """Every strike in order: time, staff, key, length with ties joined, and how it is struck."""
    strikes: dict[_Place, tuple[Fraction, tuple[str, ...]]] = {}
    open_ties: dict[tuple[str, str], _Place] = {}
    divisions, bar = Fraction(1), Fraction(0)
    for measure in ET.parse(path).getroot().iter("measure"):
        now = last = end = Fraction(0)
        for child in measure:
            if (found := child.findtext(".//divisions")) is not None:
                divisions = Fraction(int(found))
            length = Fraction(int(child.findtext("duration") or 0)) / divisions
            if child.tag in ("backup", "forward"):
                now += length if child.tag == "forward" else -length
            elif child.tag == "note" and child.find("grace") is None:
                start = last if child.find("chord") is not None else now
                if child.find("chord") is None:
                    last, now = now, now + length
                _strike(child, bar + start, length, strikes, open_ties)
            end = max(end, now)
        bar += end
    return tuple((place, str(held), *marks) for place, (held, marks) in sorted(strikes.items()))


def _strike(
    note: ET.Element,
    time: Fraction,
    length: Fraction,
    strikes: dict[_Place, tuple[Fraction, tuple[str, ...]]],
    open_ties: dict[tuple[str, str], _Place],
) -> None:
    pitch = note.find("pitch")
    if pitch is None:
        return
    key = "".join(pitch.findtext(part) or "0" for part in ("step", "alter", "octave"))
    staff = note.findtext("staff") or "1"
    ties = {tie.get("type") for tie in note.iter("tie")}
    place = open_ties.pop((staff, key), None) if "stop" in ties else None
    held, marks = strikes.get(place or (time, staff, key), (Fraction(0), ()))
    if place is None:
        place = (time, staff, key)
        struck = (mark.tag for mark in note.iter() if mark.tag in HEARD)
        marks = tuple(sorted((*marks, *struck)))  # of a unison, both voices'
    strikes[place] = (max(held, time + length - place[0]), marks)
    if "start" in ties:
        open_ties[staff, key] = place
