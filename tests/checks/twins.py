"""What a drill plays, from its MusicXML alone, so that one that is another over again is found."""

import xml.etree.ElementTree as ET
from fractions import Fraction
from pathlib import Path

Played = tuple[object, ...]

HEARD = {"accent", "strong-accent", "staccato", "staccatissimo", "tenuto"}


def played(path: Path) -> Played:
    """Every strike in order: time, staff, key, length with ties joined, and how it is struck."""
    strikes: dict[tuple[Fraction, str, str], list[object]] = {}
    open_ties: dict[tuple[str, str], tuple[Fraction, str, str]] = {}
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
    return tuple((place, *map(str, strikes[place])) for place in sorted(strikes))


def _strike(
    note: ET.Element,
    time: Fraction,
    length: Fraction,
    strikes: dict[tuple[Fraction, str, str], list[object]],
    open_ties: dict[tuple[str, str], tuple[Fraction, str, str]],
) -> None:
    pitch = note.find("pitch")
    if pitch is None:
        return
    key = "".join(pitch.findtext(part) or "0" for part in ("step", "alter", "octave"))
    staff = note.findtext("staff") or "1"
    ties = {tie.get("type") for tie in note.iter("tie")}
    place = open_ties.pop((staff, key), None) if "stop" in ties else None
    if place is None:
        place = (time, staff, key)
        marks = sorted(mark.tag for mark in note.iter() if mark.tag in HEARD)
        strikes[place] = [Fraction(0), *marks]
    strikes[place][0] = time + length - place[0]
    if "start" in ties:
        open_ties[staff, key] = place
