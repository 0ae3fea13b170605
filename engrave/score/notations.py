"""What is printed at a single note.

Enters: a MusicXML ``note`` element, or a music21 note. Leaves: ``Printed`` and the slurs' ends.
Knows no bars and no hands.
"""

import re
from collections import Counter
from xml.etree.ElementTree import Element

from engrave.score.raw import Edge, Printed
from engrave.units import Quarters

_FINGER = re.compile("[1-5]")
_LOST = {"glissando": "glissandi", "slide": "glissandi", "non-arpeggiate": "non-arpeggio brackets"}
_LOST_ORNAMENTS = {"accidental-mark": "accidentals of ornaments"}


def read_notations(note: Element, lost: Counter[str]) -> tuple[Printed, list[Edge]]:
    """The signs at a MusicXML ``note`` and the ends of slurs there; counts in ``lost`` the rest.

    The slurs' places are left to the caller.
    """
    printed, slurs = Printed(cue=note.find("cue") is not None), []
    for sign in note.iterfind("notations/*"):
        tag = sign.tag
        if tag == "slur" and sign.get("type") in ("start", "stop"):
            slurs.append(_slur(sign))
        elif tag == "articulations":
            printed.articulations += [child.tag for child in sign]
        elif tag == "ornaments":
            printed.ornaments += _ornaments(sign, lost)
        elif tag == "technical":
            printed.fingers += _fingers(sign)
        elif tag == "fermata":
            printed.fermata = True
        elif tag == "arpeggiate":
            printed.arpeggio = True
        elif tag in _LOST and sign.get("type") != "stop":
            lost[_LOST[tag]] += 1
    return printed, slurs


def _slur(sign: Element) -> Edge:
    return Edge(
        group="slur",
        kind="slur",
        opens=sign.get("type") == "start",
        number=sign.get("number", "1"),
        bar=0,
        offset=Quarters(0),
        staff=1,
        placement=sign.get("placement"),
    )


def _ornaments(ornaments: Element, lost: Counter[str]) -> list[str]:
    names = []
    for sign in ornaments:
        kind = sign.get("type", "single")
        if sign.tag == "tremolo":
            marks = (sign.text or "3").strip()
            names.append(f"tremolo-{marks}" if kind == "single" else f"tremolo-{kind}-{marks}")
        elif sign.tag == "wavy-line":
            names += [f"wavy-line-{kind}"] if kind in ("start", "stop") else []
        elif sign.tag in _LOST_ORNAMENTS:
            lost[_LOST_ORNAMENTS[sign.tag]] += 1
        else:
            names.append(sign.tag)
    return names


def _fingers(technical: Element) -> list[int]:
    fingers = []
    for sign in technical.iterfind("fingering"):
        if "yes" not in (sign.get("substitution"), sign.get("alternate")):
            found = (_FINGER.search(word) for word in (sign.text or "").split())
            fingers += [int(digit[0]) for digit in found if digit]
    return fingers
