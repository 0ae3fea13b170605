"""What was written is read back the same by another reader, and is valid MusicXML 4.0."""

import io
import warnings
from collections import Counter
from fractions import Fraction
from xml.etree import ElementTree

import partitura
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from partitura.score import GraceNote

from engrave.music.sheet import Sheet
from engrave.notation import musicxml
from tests.engraver import gallery
from tests.notation.generated import sheets
from tests.schema import validate

Sounded = Counter[tuple[Fraction, Fraction, str, int, int]]
"""Onset and length in quarters (ties not merged), and the spelled pitch."""

few = settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    derandomize=True,
    phases=[Phase.generate],
)


def written(sheet: Sheet) -> Sounded:
    return Counter(
        (time, event.length, tone.pitch.step, tone.pitch.alter, tone.pitch.octave)
        for time, _, event in sheet.timed()
        for tone in event.tones
    )


def read(document: bytes) -> Sounded:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        (part,) = partitura.load_musicxml(io.BytesIO(document)).parts
    ((_, divisions),) = part.quarter_durations()
    found: Sounded = Counter()
    for note in part.iter_all(partitura.score.Note, include_subclasses=True):
        start = Fraction(int(note.start.t), int(divisions))
        grace = isinstance(note, GraceNote)
        length = Fraction(0 if grace else int(note.duration), int(divisions))
        found[start, length, note.step, int(note.alter or 0), note.octave] += 1
    return found


@few
@given(sheets())
def test_partitura_reads_the_same_notes(sheet: Sheet) -> None:
    document = musicxml(sheet)
    validate(document)
    assert read(document) == written(sheet)


@few
@given(sheets())
def test_every_voice_ends_at_the_bar_line(sheet: Sheet) -> None:
    """By the arithmetic of ``duration``, ``backup`` and ``forward`` alone (MusicXML 4.0)."""
    root = ElementTree.fromstring(musicxml(sheet))
    divisions = int(root.findtext(".//divisions") or 0)
    measures = root.findall(".//measure")
    for bar, measure in zip(sheet.bars, measures, strict=True):
        now = furthest = 0
        ends = []
        for element in measure:
            step = int(element.findtext("duration") or 0)
            if element.tag == "backup":
                ends.append(now)
                now -= step
            elif element.find("chord") is None:
                now += step
            furthest = max(furthest, now)
        assert {*ends, now, furthest} == {bar.length * divisions}


@few
@given(sheets())
def test_what_begins_in_a_voice_ends_in_it_before_the_bar_line(sheet: Sheet) -> None:
    """Beams of every level and tuplets, none inside another of its kind (MusicXML 4.0)."""
    for measure in ElementTree.fromstring(musicxml(sheet)).iter("measure"):
        open_now: set[tuple[str, ...]] = set()
        for note in measure.iter("note"):
            voice, grace = note.findtext("voice") or "", str(note.find("grace") is not None)
            signs = [("tuplet", sign.get("type", ""), "") for sign in note.iter("tuplet")]
            signs += [
                ("beam", beam.text or "", beam.get("number", "") + grace)
                for beam in note.iter("beam")
                if "hook" not in (beam.text or "")
            ]
            for kind, what, level in signs:
                sign = (voice, kind, level)
                assert (sign in open_now) is (what not in ("begin", "start"))
                if what in ("begin", "start"):
                    open_now.add(sign)
                elif what in ("end", "stop"):
                    open_now.remove(sign)
        assert not open_now


@few
@given(sheets())
def test_durations_are_those_of_the_printed_values(sheet: Sheet) -> None:
    """MusicXML 4.0: a dot adds half, ``time-modification`` scales by normal over actual notes."""
    names = ("whole", "half", "quarter", "eighth", "16th", "32nd")
    quarters = {name: Fraction(4, 2**power) for power, name in enumerate(names)}
    root = ElementTree.fromstring(musicxml(sheet))
    divisions = int(root.findtext(".//divisions") or 0)
    for note in root.iter("note"):
        if note.find("grace") is not None or note.find("type") is None:
            continue
        length = quarters[note.findtext("type") or ""]
        length *= 2 - Fraction(1, 2 ** len(note.findall("dot")))
        actual = int(note.findtext("time-modification/actual-notes") or 1)
        length *= Fraction(int(note.findtext("time-modification/normal-notes") or 1), actual)
        assert int(note.findtext("duration") or 0) == length * divisions


@pytest.mark.parametrize("made", gallery.ALL)
def test_the_gallery_is_valid_and_read_the_same(made: gallery.Maker) -> None:
    sheet = made()
    document = musicxml(sheet, title="A & B <c>")
    validate(document)
    assert read(document) == written(sheet)
