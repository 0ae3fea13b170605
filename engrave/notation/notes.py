"""Notes, chords and rests as ``<note>`` elements.

Enters: an event and what is printed with it (``BarSigns``). Leaves: its elements, in the order in
which MusicXML 4.0 asks for their children.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from engrave.music.notes import FingerOrigin, Hand
from engrave.music.sheet import Event, Tone
from engrave.music.signs import ARTICULATIONS, ORNAMENTS
from engrave.music.units import Quarters
from engrave.notation.accidentals import BarAccidentals
from engrave.notation.elements import make, staff_number, sub
from engrave.notation.tuplets import Mark

COMPUTED = {"font-style": "italic", "color": "#6B6B6B"}
"""How a computed finger is marked: italic, and grey at 5.3:1 on white."""

_ABOVE_OR_BELOW = frozenset({"accent", "strong-accent", "soft-accent"})


@dataclass(frozen=True, slots=True)
class BarSigns:
    """What is printed with the events of one bar, by the index of the event in it.

    ``bare``: without fingers and labels.
    """

    bar_index: int
    divisions: int
    staves: tuple[int, ...]
    beams: Mapping[int, tuple[str, ...]]
    tuplets: Mapping[int, tuple[Mark, ...]]
    units: Mapping[int, str]
    stems: Mapping[int, str]
    accidentals: BarAccidentals
    slurs: Mapping[int, list[Element]]
    bare: bool

    def staff(self, staff: int) -> int | None:
        """The number that a staff has in the part; None where it is the only one."""
        return staff_number(staff, self.staves)

    def whole(self, time: Quarters) -> int:
        """``time`` in divisions, which is exact."""
        return int(time * self.divisions)


def notes(index: int, event: Event, ink: BarSigns) -> list[Element]:
    """The event as one ``<note>`` a tone, or one for a rest."""
    if not event.tones:
        return [_rest(index, event, ink)]
    return [_note(index, number, event, ink) for number in range(len(event.tones))]


def rest_of_chord(index: int, event: Event, ink: BarSigns, lead: int) -> list[Element]:
    """The event as more notes of the chord that the event ``lead`` began on the same stem."""
    return [_note(index, number, event, ink, lead) for number in range(len(event.tones))]


def _rest(index: int, event: Event, ink: BarSigns) -> Element:
    note = make("note", print_object="no" if event.silent else None, id=_id(ink, index, 0))
    sub(note, "rest", measure="yes" if event.whole_bar else None)
    sub(note, "duration", ink.whole(event.length))
    sub(note, "voice", event.voice)
    if not event.whole_bar:
        _value(note, index, event, ink)
    _staff(note, event, ink)
    _beams(note, ink.beams.get(index, ()))
    _notations(note, _of_the_chord(index, event, ink))
    return note


def _note(index: int, number: int, event: Event, ink: BarSigns, lead: int | None = None) -> Element:
    tone, begins = event.tones[number], not number and lead is None
    stem = index if lead is None else lead
    note = make("note", id=_id(ink, index, number))
    if event.grace:
        sub(note, "grace", slash="yes" if event.grace_slash else None)
    if not begins:
        sub(note, "chord")
    pitch = sub(note, "pitch")
    sub(pitch, "step", tone.pitch.step)
    if tone.pitch.alter:
        sub(pitch, "alter", tone.pitch.alter)
    sub(pitch, "octave", tone.pitch.octave)
    if not event.grace:
        sub(note, "duration", ink.whole(event.length))
    for type_ in _ties(tone):
        sub(note, "tie", type=type_)
    sub(note, "voice", event.voice)
    _value(note, index, event, ink, number, stem)
    if stem in ink.stems:
        sub(note, "stem", ink.stems[stem])
    _staff(note, event, ink)
    if begins:
        _beams(note, ink.beams.get(index, ()))
    of_the_chord = _of_the_chord(index, event, ink) if begins else []
    _notations(note, [*_of_the_tone(tone, event, ink), *of_the_chord])
    return note


def _id(ink: BarSigns, index: int, number: int) -> str:
    return f"b{ink.bar_index}-e{index}-t{number}"


def _ties(tone: Tone) -> list[str]:
    return ["stop"] * tone.tie_in + ["start"] * tone.tie_out


def _value(
    note: Element,
    index: int,
    event: Event,
    ink: BarSigns,
    number: int = 0,
    stem: int | None = None,
) -> None:
    sub(note, "type", event.value.type)
    for _ in range(event.value.dots):
        sub(note, "dot")
    accidental = ink.accidentals.get((index, number))
    if accidental:
        cautionary = "yes" if accidental.courtesy else None
        sub(note, "accidental", accidental.name, cautionary=cautionary)
    if event.value.tuplet:
        modification = sub(note, "time-modification")
        sub(modification, "actual-notes", event.value.tuplet.actual)
        sub(modification, "normal-notes", event.value.tuplet.normal)
        unit = ink.units.get(index if stem is None else stem, event.value.type)
        if unit != event.value.type:
            sub(modification, "normal-type", unit)


def _staff(note: Element, event: Event, ink: BarSigns) -> None:
    staff = ink.staff(event.staff)
    if staff is not None:
        sub(note, "staff", staff)


def _beams(note: Element, beams: tuple[str, ...]) -> None:
    for level, beam in enumerate(beams, start=1):
        sub(note, "beam", beam, number=level)


def _notations(note: Element, signs: list[Element]) -> None:
    if signs:
        sub(note, "notations").extend(signs)


def _of_the_tone(tone: Tone, event: Event, ink: BarSigns) -> list[Element]:
    signs = [make("tied", type=type_) for type_ in _ties(tone)]
    if tone.finger and not ink.bare:
        technical = make("technical")
        computed = tone.finger.origin is FingerOrigin.COMPUTED
        sub(
            technical,
            "fingering",
            tone.finger.number,
            placement="above" if event.hand is Hand.RIGHT else "below",
        ).attrib.update(COMPUTED if computed else {})
        if tone.finger.then:
            over = sub(technical, "fingering", tone.finger.then, substitution="yes")
            over.attrib.update(COMPUTED if computed else {})
        signs.append(technical)
    if event.arpeggio:
        signs.append(make("arpeggiate"))
    return signs


def _of_the_chord(index: int, event: Event, ink: BarSigns) -> list[Element]:
    signs = list(ink.slurs.get(index, ()))
    signs += [_tuplet(mark) for mark in ink.tuplets.get(index, ())]
    signs += _named("articulations", event.articulations, ARTICULATIONS, event)
    signs += _ornaments(event)
    if event.fermata:
        signs.append(make("fermata", type="upright"))
    return signs


def _ornaments(event: Event) -> list[Element]:
    signs = _named("ornaments", event.ornaments, ORNAMENTS, event)
    if not (event.tremolo or event.trill_line):
        return signs
    element = signs[0] if signs else make("ornaments")
    if event.trill_line:
        sub(element, "wavy-line", type=event.trill_line, number=1)
    if event.tremolo:
        kind, _, strokes = event.tremolo.rpartition("-")
        sub(element, "tremolo", strokes, type=kind or "single")
    return [element]


def _tuplet(mark: Mark) -> Element:
    if mark.type == "stop":
        return make("tuplet", type="stop", number=1)
    bracket = "yes" if mark.bracket else "no"
    return make(
        "tuplet",
        type="start",
        number=1,
        bracket=bracket,
        show_number="actual",
        placement=mark.placement,
    )


def _named(
    group: str, names: tuple[str, ...], known: frozenset[str], event: Event
) -> list[Element]:
    if not names:
        return []
    element = make(group)
    for name in names:
        if name not in known:
            raise ValueError(f"no {group} element that is complete without text: {name!r}")
        placement = "above" if event.hand is Hand.RIGHT else "below"
        sub(element, name, placement=placement if name in _ABOVE_OR_BELOW else None)
    return [element]
