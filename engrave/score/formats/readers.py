"""Every format by the reader that loses least of it.

Enters: the bytes of a file, its name, and the part and movement that were asked for. Leaves: a
``RawScore``. Knows nothing of sheets.

MusicXML is read by music21's parser (``listening``). For kern and MEI converter21 is used: of 13
MEI files music21 lost notes in two and failed on four, converter21 lost none. ABC becomes MusicXML
by the translator that comes with converter21.
"""

import re
from collections.abc import Sequence
from pathlib import PurePath
from typing import Any
from xml.etree.ElementTree import Element, tostring

from engrave.errors import EngraveError
from engrave.machine import endings
from engrave.music.units import quarters
from engrave.score.formats.abc_text import first_tune, tunes_in, without_words
from engrave.score.formats.absurd import (
    BEYOND_READERS,
    refuse_absurd_text,
    refuse_absurd_tree,
)
from engrave.score.formats.files import text_of, unpacked, xml_root
from engrave.score.formats.kern import read_kern
from engrave.score.formats.kern_text import legible, plain
from engrave.score.formats.kinds import no_score
from engrave.score.formats.library import load_music21
from engrave.score.formats.limits import (
    MOST_NOTES_ELSEWHERE,
    refuse_endless,
    refuse_endless_meters,
    refuse_endless_rests,
    refuse_long_silence,
)
from engrave.score.formats.mei import Mei, mei_scores
from engrave.score.formats.mei_measures import MEI
from engrave.score.formats.musicxml import by_parts, name_parts, read_music_xml
from engrave.score.formats.raw import RawScore, RawTempo
from engrave.score.formats.streams import read_stream
from engrave.score.titles import movement_number

_UNKNOWN = re.compile(r"<score-timewise[\s>]|<part\s*>")
"""Forms of MusicXML that verovio does not read: by measures, and parts without ids."""
_LETTERS_A_NOTE = 20
"""Text of a kern or ABC file for each note: more than it takes, so that no real file is refused."""
_BYTES_A_NOTE = 8
LACKS = {
    ".abc": "ABC has no layout of its own: beams, stems and staves are guesses of the translator",
    ".mid": "MIDI has keys and times alone: spelling, voices, hands, values and beams are guesses",
}


def read_raw(data: bytes, name: str, part: str | None, movement: int | str | None) -> RawScore:
    """The keyboard part of a score file, as its format's reader leaves it."""
    suffix = PurePath(name).suffix.lower()
    if suffix in endings.XML:
        return _read_xml(xml_root(data, name), name, part, movement)
    if suffix in endings.KERN:
        _mend_converter21()
        text = text_of(data)
        _refuse_endless_text(text, name)
        kern = read_kern(text, name)
        raw = read_stream(kern.score, part, name, kern.staves)
        raw.tempos += kern.tempos
        _number_first(raw)
        _leave_out(raw, kern.unread)
        return raw
    if suffix == ".abc":
        text = plain(text_of(data))
        tune, tunes = first_tune(text), tunes_in(text)
        music = without_words(tune)
        _refuse_endless_text(music, name)
        refuse_endless_rests(music)
        raw = _lacking(suffix, read_music_xml(_abc(tune, name), part, name))
        if tunes > 1:
            raw.notes.append(f"the file holds {tunes} tunes: the first one is read")
        return raw
    if suffix in endings.MIDI:
        refuse_endless(len(data) // _BYTES_A_NOTE, MOST_NOTES_ELSEWHERE, name)
        return _lacking(".mid", _as_played(read_stream(_midi(data), part, name)))
    raise no_score(data, name, ", ".join(endings.SCORES))


def readable_text(data: bytes, name: str) -> str | None:
    """The text of a score for another reader; None for what it cannot read."""
    suffix = PurePath(name).suffix.lower()
    if suffix in (*endings.MIDI, ".abc"):
        return None  # verovio reads a single voice of ABC
    text = text_of(unpacked(data, name))
    if BEYOND_READERS.search(text):
        return None
    if suffix not in endings.KERN:
        return _for_verovio(data, name) if _UNKNOWN.search(text) else text
    _refuse_endless_text(text, name)
    return legible(text).text


def _for_verovio(data: bytes, name: str) -> str:
    """MusicXML part by part, each with its id."""
    root = xml_root(data, name)
    root = by_parts(root) if root.tag == "score-timewise" else root
    name_parts(root)
    return tostring(root, "unicode")


def _read_xml(root: Element, name: str, part: str | None, movement: int | str | None) -> RawScore:
    refuse_absurd_tree(root, name)
    refuse_endless_meters(root)
    if root.tag == "score-partwise":
        return read_music_xml(root, part, name)
    if root.tag == f"{MEI}mei":
        notes = sum(1 for _ in root.iter(f"{MEI}note"))
        refuse_endless(notes, MOST_NOTES_ELSEWHERE, name)
        _mend_converter21()
        mei = _choose(mei_scores(root), movement, name)
        raw = read_stream(mei.score, part, name)
        for index, why in mei.unread.items():
            raw.part.bars[index].unread = why
        return raw
    if root.tag == "score-timewise":
        return read_music_xml(by_parts(root), part, name)
    raise EngraveError(f"{name} is no score: its XML begins with {root.tag!r}")


def _refuse_endless_text(text: str, name: str) -> None:
    """Raise where no reader would come to the end of a kern file or an ABC tune."""
    refuse_absurd_text(plain(text), name)
    refuse_endless_meters(text)
    refuse_endless(len(text) // _LETTERS_A_NOTE, MOST_NOTES_ELSEWHERE, name)


def _choose(scores: list[Mei], movement: int | str | None, name: str) -> Mei:
    """One of the movements that a file keeps apart."""
    if len(scores) == 1:
        return scores[0]
    number = None if movement is None else movement_number(movement)
    if number is None or not 1 <= number <= len(scores):
        raise EngraveError(
            f"{name} holds {len(scores)} movements",
            hint="name one, as in piece: {movement: 1}",
        )
    return scores[number - 1]


def _abc(text: str, name: str) -> Element:
    """ABC as MusicXML. The translator would open files that the text includes: they are refused."""
    load_music21()
    from converter21.abc import abc2xml

    if any(line.startswith(("%%abc-include", "I:abc-include")) for line in text.splitlines()):
        raise EngraveError(f"{name} is refused: it includes another file")
    scores: list[Element] = abc2xml.getXmlDocs(text, rOpt=True)
    if not scores:
        raise EngraveError(f"{name} holds no tune")
    return scores[0]


def _midi(data: bytes) -> Any:
    load_music21()
    from music21 import midi

    file = midi.MidiFile()
    file.readstr(data)
    refuse_long_silence(file)
    return _as_piano(midi.translate.midiFileToStream(file))


def _as_piano(score: Any) -> Any:
    """Several tracks that name neither themselves nor a sound are a piano's (General MIDI 1: what
    asks for no program sounds as the first, a grand piano)."""
    if len(score.parts) > 2 and not any(part.partName for part in score.parts):
        for part in score.parts:
            part.partName = "Piano"
    return score


def _number_first(raw: RawScore) -> None:
    """A full bar that no bar line begins is the first, and no pickup."""
    if len(raw.part.bars) < 2:
        return
    first, second = raw.part.bars[:2]
    if first.name != "0" or first.implicit:
        return
    meters = [sign.element for sign in first.signs if "TimeSignature" in sign.element.classSet]
    full = quarters(meters[0].barDuration.quarterLength) if meters else None
    if full is not None and first.reach >= full and second.name == "2":
        first.name = "1"


def _leave_out(raw: RawScore, names: Sequence[str]) -> None:
    """The measures of those names stand empty, and are told."""
    for bar in raw.part.bars:
        if bar.name in names and bar.unread is None:
            bar.unread = "the lengths in it do not add up"


def _as_played(raw: RawScore) -> RawScore:
    """The speeds of a MIDI file are what it plays at, and nothing that is printed."""
    for index, bar in enumerate(raw.part.bars):
        marks = [sign for sign in bar.signs if "MetronomeMark" in sign.element.classSet]
        bar.signs = [sign for sign in bar.signs if sign not in marks]
        for sign in marks:
            beat = quarters(sign.element.referent.quarterLength)
            per_minute = quarters(sign.element.number or 0)
            raw.tempos.append(RawTempo(index, sign.offset, "", beat, per_minute, played=True))
    return raw


def _lacking(suffix: str, raw: RawScore) -> RawScore:
    raw.notes.append(LACKS[suffix])
    return raw


def _mend_converter21() -> None:
    """converter21 4.0 calls a method of music21's metadata by the name it had before 10.0."""
    load_music21()
    from music21.metadata import Metadata

    if not hasattr(Metadata, "_convertValue"):
        Metadata._convertValue = staticmethod(Metadata.convertValue)
