"""A program: verovio's reading of a score.

Enters: the text of a score file, on standard input, and after how many seconds it is to end itself,
also where nobody is left to end it. Leaves: its measures in order, as JSON: the name of each, and
by staff the MIDI keys that are printed there. Run by its path, it loads nothing else of ours: it is
begun anew for every score that is read.
"""

import json
import os
import signal
import sys
from collections.abc import Iterator
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

_MEI = "{http://www.music-encoding.org/ns/mei}"
_STEPS = {"c": 0, "d": 2, "e": 4, "f": 5, "g": 7, "a": 9, "b": 11}
_ALTERS = {"s": 1, "ss": 2, "x": 2, "xs": 3, "ts": 3, "f": -1, "ff": -2, "tf": -3, "n": 0,
           "ns": 1, "nf": -1}  # fmt: skip
_NOT_PLAYED = ("ossia", "oStaff", "rdg", "sic", "orig", "del")


def measures(root: Element) -> Iterator[tuple[str, dict[int, list[int]]]]:
    """The measures of an MEI tree as verovio writes it."""
    for measure in root.iter(f"{_MEI}measure"):
        keys: dict[int, list[int]] = {}
        for staff in measure.iterfind(f"{_MEI}staff"):
            for number, key in _notes(staff, int(staff.get("n", "1"))):
                keys.setdefault(number, []).append(key)
        yield measure.get("n", ""), keys


def _notes(element: Element, staff: int) -> Iterator[tuple[int, int]]:
    """The staff on which each note inside ``element`` is printed, and its key."""
    for child in element:
        tag = str(child.tag).removeprefix(_MEI)
        if tag in _NOT_PLAYED or child.get("visible") == "false" or child.get("cue") == "true":
            continue
        moved = (child.get("staff") or "").split() if tag in ("note", "chord") else []
        printed_on = int(moved[0]) if moved else staff
        if tag == "note" and child.get("pname"):
            yield printed_on, _key(child)
        else:
            yield from _notes(child, printed_on)


def _key(note: Element) -> int:
    octave = int(note.attrib.get("oct.ges") or note.attrib["oct"])
    accidental = note.find(f"{_MEI}accid")
    said = [
        place.get(name)
        for place in (note, accidental)
        if place is not None
        for name in ("accid.ges", "accid")
    ]
    alter = next((_ALTERS.get(accid, 0) for accid in said if accid), 0)
    return 12 * (octave + 1) + _STEPS[note.get("pname", "c")] + alter


def main() -> int:
    """Read, and write what was found; 1 where verovio cannot."""
    if hasattr(signal, "alarm"):
        signal.alarm(int(sys.argv[1]))
    import verovio

    toolkit = verovio.toolkit()
    toolkit.setOptions({"breaks": "none", "header": "none", "footer": "none"})
    if not toolkit.loadData(sys.stdin.buffer.read().decode("utf-8")):
        return 1
    json.dump(list(measures(ElementTree.fromstring(toolkit.getMEI()))), sys.stdout)
    return 0


if __name__ == "__main__":
    code = main()
    sys.stdout.flush()
    os._exit(code)  # there is nothing to be cleared away, and much to be let go
