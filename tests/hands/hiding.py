"""Scores whose hands are known, hidden as copyists hide them, and found again.

``python -m tests.hands.hiding [WORK …]`` prints the whole table: works by ways of hiding, what
share of all notes is in its hand again, and of the notes that the hiding moved. Truth is the staff:
the works are for two staves, and no line of them crosses. The suite takes a slice.
"""

import random
import sys
import tempfile
import zipfile
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from xml.etree import ElementTree
from xml.etree.ElementTree import Element, SubElement

from engrave.fingering.holding import holds
from engrave.hands import divide
from engrave.music.notes import Hand
from engrave.score import Score, read_score
from tests.works import SONGS, corpus

STRETCH_MM = 205.0
WORKS = (
    "bach/bwv846.mxl",
    "beach/prayer_of_a_tired_child.musicxml",
    "cpebach/h186.mxl",
    "handel/rinaldo/Lascia_chio_pianga.mxl",
    "joplin/maple_leaf_rag.mxl",
    "mozart/k545/movement1_exposition.mxl",
    "schoenberg/opus19/movement2.mxl",
    "schubert/Lindenbaum.xml",
    "schumann_clara/polonaise_op1n1.mxl",
    "schumann_clara/polonaise_op1n2.mxl",
    "schumann_clara/polonaise_op1n3.mxl",
    "schumann_clara/polonaise_op1n4.mxl",
    "schumann_robert/opus48no2.mxl",
    "verdi/laDonnaEMobile.mxl",
    "weber/concertino_clarinet.mxl",
)
"""Piano parts of music21's corpus on two staves, in which no voice crosses.

Those of Beach and of "Lascia" were read when all prices stood, and changed none.
"""
BESIDE = (
    "boulanger-attente.mxl",
    "joteyko-sonatina-op18-no1-iii.krn",
    "nowakowski-etude-op25-no2.krn",
)
"""More of them, where they lie beside the checkout."""

Place = tuple[int, Fraction, int]
"""A printed note: the index of its bar, its offset in quarters, its key."""


@dataclass
class Printed:
    """A note as the file has it: where it stands, and the hand of its staff."""

    element: Element
    bar: int
    measure: Element
    onset: Fraction
    length: Fraction
    key: int
    staff: int
    voice: str
    chord: list["Printed"] = field(default_factory=list)
    """All notes of its chord, itself among them."""

    @property
    def place(self) -> Place:
        return self.bar, self.onset, self.key

    @property
    def hand(self) -> Hand:
        return Hand.RIGHT if self.staff == 1 else Hand.LEFT


Hiding = Callable[[Element, random.Random], set[Place]]
"""Changes the tree of a part; returns the places of the notes that are hidden by it."""


def notes_of(part: Element) -> list[Printed]:
    """The notes of a part, graces left out."""
    found: list[Printed] = []
    divisions = 1
    for bar, measure in enumerate(part.iterfind("measure")):
        now = start = Fraction(0)
        for element in measure:
            divisions = int(element.findtext("divisions") or divisions)
            length = Fraction(element.findtext("duration") or "0") / divisions
            if element.tag == "backup":
                now -= length
            elif element.tag == "forward":
                now += length
            elif element.tag == "note" and element.find("grace") is None:
                is_chord = element.find("chord") is not None
                if not is_chord:  # a note of a chord may have a length of its own: no time passes
                    start, now = now, now + length
                if element.find("rest") is None and element.find("pitch") is not None:
                    note = _note(element, bar, measure, start, length)
                    if is_chord and found:
                        note.chord = found[-1].chord
                    note.chord.append(note)
                    found.append(note)
    return found


def _note(
    element: Element, bar: int, measure: Element, start: Fraction, length: Fraction
) -> Printed:
    step, octave = element.findtext("pitch/step", ""), int(element.findtext("pitch/octave", "4"))
    alter = int(float(element.findtext("pitch/alter") or 0))
    key = (
        12 * (octave + 1) + {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}[step] + alter
    )
    staff = int(element.findtext("staff") or 1)
    return Printed(
        element, bar, measure, start, length, key, staff, element.findtext("voice") or "1"
    )


def _set(element: Element, tag: str, text: str) -> None:
    child = element.find(tag)
    if child is None:
        child = SubElement(element, tag)
    child.text = text


def inner_voices(part: Element, _: random.Random) -> set[Place]:
    """The second and further voices of a staff get the number of the other staff's first one."""
    voices: dict[int, list[str]] = defaultdict(list)
    for element in part.iter("note"):
        staff, voice = int(element.findtext("staff") or 1), element.findtext("voice") or "1"
        if voice not in voices[staff]:
            voices[staff].append(voice)
    renamed = {
        (staff, voice): voices[3 - staff][0]
        for staff in (1, 2)
        if voices[3 - staff]
        for voice in sorted(voices[staff], key=_number)[1:]
    }
    moved = {note.place for note in notes_of(part) if (note.staff, note.voice) in renamed}
    for element in part.iter("note"):
        key = int(element.findtext("staff") or 1), element.findtext("voice") or "1"
        if key in renamed:
            _set(element, "voice", renamed[key])
    return moved


def _number(voice: str) -> tuple[int, str]:
    return (int(voice), "") if voice.isdecimal() else (99, voice)


def rests_across(part: Element, _: random.Random) -> set[Place]:
    """Every rest stands on the other staff than its voice."""
    touched: set[tuple[int, str]] = set()
    for bar, measure in enumerate(part.iterfind("measure")):
        for element in measure.iterfind("note"):
            if element.find("rest") is not None:
                staff = int(element.findtext("staff") or 1)
                touched.add((bar, element.findtext("voice") or "1"))
                _set(element, "staff", str(3 - staff))
    return {note.place for note in notes_of(part) if (note.bar, note.voice) in touched}


def one_voice(part: Element, _: random.Random) -> set[Place]:
    """One voice over both staves."""
    for element in part.iter("note"):
        _set(element, "voice", "1")
    return {note.place for note in notes_of(part)}


def voice_a_staff(part: Element, _: random.Random) -> set[Place]:
    """All of a staff in one voice."""
    before = {id(note.element): note.voice for note in notes_of(part)}
    for element in part.iter("note"):
        _set(element, "voice", element.findtext("staff") or "1")
    return {note.place for note in notes_of(part) if before[id(note.element)] != note.voice}


def no_voices(part: Element, _: random.Random) -> set[Place]:
    """No voices at all."""
    for element in part.iter("note"):
        for voice in element.findall("voice"):
            element.remove(voice)
    return {note.place for note in notes_of(part)}


def split_on_stem(part: Element, chance: random.Random) -> set[Place]:
    """Chords over both staves on one stem, divided at middle C or inside."""
    moved = set()
    for note in _to_split(part, chance):
        _set(note.element, "staff", str(3 - note.staff))
        moved.add(note.place)
    return moved


def split_off(part: Element, chance: random.Random) -> set[Place]:
    """The same notes in a voice of their own on the other staff."""
    moved = set()
    taken: dict[int, list[Printed]] = defaultdict(list)
    for note in _to_split(part, chance):
        taken[note.bar].append(note)
        moved.add(note.place)
    for notes in taken.values():
        for group in _groups(notes):
            _write_apart(group)
    return moved


def _groups(notes: list[Printed]) -> Iterator[list[Printed]]:
    groups: dict[int, list[Printed]] = defaultdict(list)
    for note in notes:
        groups[id(note.chord)].append(note)
    yield from groups.values()


def _write_apart(group: list[Printed]) -> None:
    """Take the notes out of their chord and write them at the measure's end."""
    measure, first = group[0].measure, group[0]
    duration = first.chord[0].element.findtext("duration") or "1"
    divisions = Fraction(first.element.findtext("duration") or "1") / first.length
    now = _end(measure, divisions)
    if now > first.onset:
        back = SubElement(measure, "backup")
        SubElement(back, "duration").text = str(int((now - first.onset) * divisions))
    left = [note for note in first.chord if not any(note is each for each in group)]
    for number, note in enumerate(group):
        measure.remove(note.element)
        for child in [c for c in note.element if c.tag in ("chord", "beam", "stem")]:
            note.element.remove(child)
        if number:
            note.element.insert(0, Element("chord"))
        _set(note.element, "voice", "13" if note.staff == 1 else "12")
        _set(note.element, "staff", str(3 - note.staff))
        measure.append(note.element)
    for chord in left[0].element.findall("chord"):  # it begins its chord now
        left[0].element.remove(chord)
    _set(left[0].element, "duration", duration)
    rest = now - first.onset - first.length
    if rest > 0:
        forward = SubElement(measure, "forward")
        SubElement(forward, "duration").text = str(int(rest * divisions))


def _end(measure: Element, divisions: Fraction) -> Fraction:
    now = Fraction(0)
    for element in measure:
        length = Fraction(element.findtext("duration") or "0") / divisions
        if element.tag == "backup":
            now -= length
        elif element.tag == "forward" or (
            element.tag == "note"
            and element.find("chord") is None
            and element.find("grace") is None
        ):
            now += length
    return now


def _to_split(part: Element, chance: random.Random) -> list[Printed]:
    """Of two chords in three the notes beyond middle C, or else the inner half of them.

    Only where the other hand, with what it strikes and holds, could not play them too, where the
    hand itself can play its chord, and where nothing is tied.
    """
    notes = notes_of(part)
    sounding: dict[int, list[Printed]] = defaultdict(list)
    for note in notes:
        sounding[note.bar].append(note)
    found = []
    for chord in {id(note.chord): note.chord for note in notes}.values():
        if len(chord) < 2 or chance.random() > 2 / 3 or _is_tied(chord):
            continue
        hand, part_of = chord[0].hand, _beyond(chord)
        keys = tuple(sorted({note.key for note in chord}))
        if not part_of or not holds(keys, hand, STRETCH_MM):
            continue
        if _crosses(sounding[chord[0].bar]):
            continue
        others = {
            note.key
            for note in sounding[chord[0].bar]
            if note.hand is not hand and note.onset <= chord[0].onset < note.onset + note.length
        }
        together = tuple(sorted(others | {note.key for note in part_of}))
        if not holds(together, hand.other, STRETCH_MM):
            found += part_of
    return found


def _crosses(bar: list[Printed]) -> bool:
    """Whether the upper staff ever goes below the lower one in a bar."""
    return any(
        one.hand is Hand.RIGHT and other.hand is Hand.LEFT and one.key < other.key
        for one in bar
        for other in bar
        if one.onset < other.onset + other.length and other.onset < one.onset + one.length
    )


def _is_tied(chord: list[Printed]) -> bool:
    return any(note.element.find("tie") is not None for note in chord)


def _beyond(chord: list[Printed]) -> list[Printed]:
    right = chord[0].hand is Hand.RIGHT
    beyond = [note for note in chord if (note.key < 60 if right else note.key >= 60)]
    if not beyond or len(beyond) == len(chord):
        ordered = sorted(chord, key=lambda note: note.key, reverse=not right)
        beyond = ordered[: len(chord) // 2]
    return beyond


HIDINGS: dict[str, Hiding] = {
    "inner voices": inner_voices,
    "rests across": rests_across,
    "one voice": one_voice,
    "a voice a staff": voice_a_staff,
    "no voices": no_voices,
    "split on a stem": split_on_stem,
    "split off": split_off,
}


@dataclass
class Recovered:
    """How many notes are in their hand again: of all, and of those that were hidden."""

    work: str
    hiding: str
    notes: int = 0
    right: int = 0
    hidden: int = 0
    hidden_right: int = 0
    wrong: list[Place] = field(default_factory=list)


def recover(root: Element, work: str, hiding: str, seed: int = 20) -> Recovered:
    """Hide the hands of a score and find them again; ``root`` is changed."""
    part = next(p for p in root.iterfind("part") if _is_piano(p))
    for other in [p for p in root.iterfind("part") if p is not part]:
        root.remove(other)
    listed = root.find("part-list")
    for entry in [] if listed is None else list(listed):
        if entry.get("id") != part.get("id") and listed is not None:
            listed.remove(entry)
    truth = _hands(_read(root))
    moved = HIDINGS[hiding](part, random.Random(seed))
    found = _hands(divide(_read(root)).score)
    return _compared(found, truth, {_settled(place, truth) for place in moved}, work, hiding)


def _read(root: Element) -> Score:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "hidden.musicxml"
        ElementTree.ElementTree(root).write(path, "utf-8", xml_declaration=True)
        return read_score(path)


def _hands(score: Score) -> dict[Place, Counter[Hand]]:
    """The hands of every printed note."""
    found: dict[Place, Counter[Hand]] = defaultdict(Counter)
    for index, bar in enumerate(score.sheet.bars):
        for event in bar.events:
            for tone in () if event.grace else event.tones:
                found[index, event.offset, tone.pitch.midi][event.hand] += 1
    return found


def _settled(place: Place, known: dict[Place, Counter[Hand]]) -> Place:
    """The place as the reader has it, which rounds what a file's ticks give."""
    bar, onset, key = place
    near = [p for p in known if p[0] == bar and p[2] == key and abs(p[1] - onset) < _NEAR]
    return min(near, key=lambda p: abs(p[1] - onset), default=place)


_NEAR = Fraction(1, 32)


def _is_piano(part: Element) -> bool:
    return any(staff.text == "2" for staff in part.iterfind("measure/note/staff"))


def _compared(
    found: dict[Place, Counter[Hand]],
    truth: dict[Place, Counter[Hand]],
    moved: set[Place],
    work: str,
    hiding: str,
) -> Recovered:
    result = Recovered(work, hiding)
    for place, hands in truth.items():
        count, right = hands.total(), (hands & found[place]).total()
        result.notes += count
        result.right += right
        if place in moved:
            result.hidden += count
            result.hidden_right += right
        if right < count:
            result.wrong.append(place)
    return result


def tree(work: str) -> Element:
    """The tree of a work's file; what is not MusicXML is written as such."""
    path = corpus() / work if (corpus() / work).exists() else SONGS / work
    if path.suffix == ".krn":
        from engrave.notation import musicxml

        return ElementTree.fromstring(musicxml(read_score(path).sheet))
    if path.suffix == ".mxl":
        with zipfile.ZipFile(path) as archive:
            inside = [n for n in archive.namelist() if not n.startswith("META") and "xml" in n]
            return ElementTree.fromstring(archive.read(inside[0]))
    return ElementTree.fromstring(path.read_bytes())


def main(names: list[str]) -> None:
    """Print the table."""
    works = names or [*WORKS, *(work for work in BESIDE if (SONGS / work).exists())]
    totals: dict[str, Recovered] = {name: Recovered("all", name) for name in HIDINGS}
    print(f"{'work':<34}{'hiding':<17}{'notes':>6}{'right %':>9}{'hidden':>8}{'right %':>9}")
    for work in works:
        for hiding, total in totals.items():
            found = recover(tree(work), work, hiding)
            _print(found)
            for name in ("notes", "right", "hidden", "hidden_right"):
                setattr(total, name, getattr(total, name) + getattr(found, name))
    for total in totals.values():
        _print(total)


def _print(found: Recovered) -> None:
    hidden = f"{100 * found.hidden_right / found.hidden:.2f}" if found.hidden else "–"
    print(
        f"{found.work:<34}{found.hiding:<17}{found.notes:>6}"
        f"{100 * found.right / found.notes:>9.2f}{found.hidden:>8}{hidden:>9}"
    )


if __name__ == "__main__":
    main(sys.argv[1:])
