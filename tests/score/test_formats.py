"""kern, MEI, ABC and MIDI: notes, hands, fingers, and a plain word about what a format lacks."""

import subprocess
import sys
from fractions import Fraction
from pathlib import Path

import mido
import pytest

from engrave.errors import EngraveError
from engrave.music.notes import Finger, FingerOrigin, Hand
from engrave.score import Score, read_score, read_twice
from engrave.score.formats.library import load_music21
from tests.score.build import back, document, head, measure, note
from tests.works import DEMO

KERN = """!!!OTL: Little March
!!!COM: Nobody, Ann
**kern\t**fing\t**kern\t**fing\t**dynam
*part1\t*\t*part1\t*\t*part1
*staff2\t*\t*staff1\t*\t*
*I"Piano\t*\t*I"Piano\t*\t*
*clefF4\t*\t*clefG2\t*\t*
*k[f#]\t*\t*k[f#]\t*\t*
*M2/4\t*\t*M2/4\t*\t*
=1-\t=1-\t=1-\t=1-\t=1-
4GG 4BB 4D\t1 5 3\t(8g\\L\t1\tmf
.\t.\t8f#\\J)\t2\t.
4r\t.\t4g 4b 4dd\t1 5\t.
=2\t=2\t=2\t=2\t=2
*\t*\t*^\t*\t*
4GG\t5\t4ee/\t4e\\\t5 1\t.
4C\t1\t[4dd/\t4d\\\t4\t.
=3\t=3\t=3\t=3\t=3\t=3
2GG\t.\t2dd/]\t2d-\\\t13\t.
*\t*\t*v\t*v\t*\t*
==\t==\t==\t==\t==
*-\t*-\t*-\t*-\t*-
"""
"""Two hands in G, with fingers beside chords, beside two voices and beside a held note."""


def read(folder: Path, name: str, content: str | bytes) -> Score:
    path = folder / name
    path.write_bytes(content.encode("utf-8") if isinstance(content, str) else content)
    return read_score(path)


def fingers(score: Score, hand: Hand) -> list[list[tuple[str, int | None]]]:
    return [
        [(tone.pitch.spelling, tone.finger.number if tone.finger else None) for tone in event.tones]
        for bar in score.sheet.bars
        for event in bar.of(hand)
        if event.tones
    ]


@pytest.mark.parametrize("record", ["OPR", "GTL"])
def test_a_kern_file_names_the_work_that_a_piece_is_part_of(tmp_path: Path, record: str) -> None:
    """Humdrum's reference records: the title of the larger work, and that of the group."""
    score = read(tmp_path, "march.krn", f"!!!{record}: Hedge Suite\n{KERN}")
    assert score.title == "Hedge Suite: Little March"


def test_kern_with_fingers(tmp_path: Path) -> None:
    score = read(tmp_path, "march.krn", KERN)
    assert (score.title, score.composer, score.part) == ("Little March", "Ann Nobody", "Piano")
    assert [(bar.name, bar.length, str(bar.meter)) for bar in score.sheet.bars] == [
        ("1", 2, "2/4"),
        ("2", 2, "2/4"),
        ("3", 2, "2/4"),
    ]
    assert fingers(score, Hand.LEFT) == [
        [("G2", 5), ("B2", 3), ("D3", 1)],  # a full column lies as the left hand does
        [("G2", 5)],
        [("C3", 1)],
        [("G2", None)],
    ]
    assert fingers(score, Hand.RIGHT) == [
        [("G4", 1)],
        [("F#4", 2)],
        [("G4", 1), ("B4", None), ("D5", 5)],  # two fingers at three tones are the outer ones'
        [("E5", 5)],
        [("E4", 1)],
        [("D5", 4)],  # one finger that is not the thumb: the upper note's
        [("D4", None)],
        [("D5", None)],  # held: the finger beside it is the other voice's
        [("Db4", 1)],  # 1, then 3 on the same key
    ]
    first = score.sheet.bars[0].of(Hand.RIGHT)[0].tones[0]
    assert first.finger == Finger(1, FingerOrigin.SCORE)
    assert [(span.kind, span.start.offset, span.end.offset) for span in score.sheet.spans] == [
        ("slur", 0, Fraction(1, 2))
    ]
    assert [word.text for word in score.sheet.bars[0].directions] == ["mf"]
    assert score.notices == ()


def mei(version: str, measures: str, more: str = "") -> str:
    staff = '<staffDef n="{}" lines="5" clef.shape="{}" clef.line="{}"/>'
    return (
        f'<?xml version="1.0"?><mei xmlns="http://www.music-encoding.org/ns/mei" '
        f'meiversion="{version}"><meiHead><fileDesc><titleStmt><title>Little Waltz</title>'
        "<composer>Ann Nobody</composer></titleStmt><pubStmt/></fileDesc></meiHead><music><body>"
        '<mdiv><score><scoreDef meter.count="3" meter.unit="4" keysig="0"><staffGrp '
        f'symbol="brace">{staff.format(1, "G", 2)}{staff.format(2, "F", 4)}</staffGrp></scoreDef>'
        f"<section>{measures}</section></score></mdiv>{more}</body></music></mei>"
    )


WALTZ = """<measure n="1">
<staff n="1"><layer n="1">
  <note xml:id="a" dur="4" oct="5" pname="c"/>
  <chord xml:id="b" dur="2"><note xml:id="b1" oct="4" pname="e"/>
    <note xml:id="b2" oct="4" pname="g" accid="s"/></chord>
</layer></staff>
<staff n="2"><layer n="1">
  <chord xml:id="c" dur="2"><note oct="3" pname="c"/><note oct="3" pname="g"/></chord>
  <note xml:id="d" dur="4" oct="3" pname="e"/>
</layer></staff>
<fing startid="#a">3</fing><fing startid="#b1">1</fing><fing startid="#b2">2</fing>
<fing startid="#c">1</fing><fing startid="#c">5</fing>
<fing tstamp="3" staff="2">3</fing>
</measure>"""


@pytest.mark.parametrize("version", ["5.0", "4.0.1", "3.0.0"])
def test_mei_with_fingers(tmp_path: Path, version: str) -> None:
    score = read(tmp_path, "waltz.mei", mei(version, WALTZ))
    assert (score.title, score.composer) == ("Little Waltz", "Ann Nobody")
    assert fingers(score, Hand.RIGHT) == [[("C5", 3)], [("E4", 1), ("G#4", 2)]]
    assert fingers(score, Hand.LEFT) == [[("C3", 5), ("G3", 1)], [("E3", 3)]]


def test_mei_of_two_movements(tmp_path: Path) -> None:
    one = mei("5.0", WALTZ)
    movement = one[one.index("<mdiv>") : one.index("</body>")].replace('oct="5"', 'oct="6"')
    path = tmp_path / "two.mei"
    path.write_text(mei("5.0", WALTZ, movement.replace('xml:id="', 'xml:id="z')), "utf-8")
    with pytest.raises(EngraveError, match="holds 2 movements"):
        read_score(path)
    second = read_score(path, movement=2)
    assert fingers(second, Hand.RIGHT)[0] == [("C6", None)]


def test_octave_lines_in_kern_and_mei_sound_where_they_sound(tmp_path: Path) -> None:
    # kern writes pitches as they sound (Humdrum guide, "8va" interpretations)
    kern = KERN.replace(
        "4r\t.\t4g 4b 4dd\t1 5\t.", "*\t*\t*8va\t*\t*\n4r\t.\t4ggg\t.\t.\n*\t*\t*X8va\t*\t*"
    )
    score = read(tmp_path, "a.krn", kern)
    assert [t.pitch.spelling for t in score.sheet.bars[0].of(Hand.RIGHT)[2].tones] == ["G6"]
    assert [span.kind for span in score.sheet.spans if span.kind != "slur"] == ["octave-up"]
    # MEI writes them as they are printed, and the sound beside it (MEI 5.0, att.octave)
    line = '<octave dis="8" dis.place="above" startid="#a" endid="#a" staff="1"/></measure>'
    waltz = WALTZ.replace('oct="5" pname="c"', 'oct="5" oct.ges="6" pname="c"')
    score = read(tmp_path, "a.mei", mei("5.0", waltz.replace("</measure>", line)))
    assert fingers(score, Hand.RIGHT)[0] == [("C6", 3)]


ABC = """X:1
T:Little Air
C:Ann Nobody
M:3/4
L:1/8
%%score {RH | LH}
V:RH clef=treble
V:LH clef=bass
K:D
[V:RH] !1!d!2!e!3!f(3efg a|d6|
[V:LH] D,2 [F,A,]4|D,6|
"""


def test_abc_with_two_staves(tmp_path: Path) -> None:
    score = read(tmp_path, "air.abc", ABC)
    assert (score.title, score.composer) == ("Little Air", "Ann Nobody")
    assert fingers(score, Hand.RIGHT)[:3] == [[("D5", 1)], [("E5", 2)], [("F#5", 3)]]
    assert fingers(score, Hand.LEFT)[1] == [("F#3", None), ("A3", None)]
    assert score.notices[0].message.startswith("ABC has no layout")


def test_of_several_tunes_the_first_is_read(tmp_path: Path) -> None:
    score = read(tmp_path, "airs.abc", ABC + "\n" + ABC.replace("X:1", "X:2"))
    assert score.notices[1].message == "the file holds 2 tunes: the first one is read"
    assert len(score.sheet.bars) == 2


@pytest.mark.parametrize(
    ("programs", "is_read"), [((None, None, None), True), ((0, 0, 0), True), ((0, 40, 42), False)]
)
def test_three_midi_tracks_without_names_are_one_piano(
    programs: tuple[int | None, ...], is_read: bool, tmp_path: Path
) -> None:
    """General MIDI 1: a track that asks for no program sounds as the first, a grand piano."""
    file = mido.MidiFile(ticks_per_beat=480)
    file.tracks.append(
        mido.MidiTrack([mido.MetaMessage("time_signature", numerator=2, denominator=4)])
    )
    for channel, (lowest, program) in enumerate(zip((76, 64, 48), programs, strict=True)):
        track = mido.MidiTrack()
        if program is not None:
            track.append(mido.Message("program_change", program=program, channel=channel))
        for step in (0, 2, 4, 5) * 2:
            key = {"note": lowest + step, "channel": channel}
            track.append(mido.Message("note_on", **key))
            track.append(mido.Message("note_off", time=240, **key))
        file.tracks.append(track)
    file.save(tmp_path / "three.mid")
    if not is_read:
        with pytest.raises(EngraveError, match="several parts"):
            read_score(tmp_path / "three.mid")
        return
    bars = read_score(tmp_path / "three.mid").sheet.bars
    struck = [sum(len(event.tones) for event in bar.events) for bar in bars]
    assert struck == [12, 12]
    assert {event.hand for event in bars[0].events} == set(Hand)


def test_midi_keeps_keys_and_times_alone(tmp_path: Path) -> None:
    load_music21()  # what was read before may have loaded half of it
    from music21 import midi
    from music21.converter import parseFile

    upper = measure(1, note("C5"), note("F#5"), note("E5", 2), head=single("G", 2))
    lower = measure(1, note("C3", 2), note("G3", 2), head=single("F", 4))
    source = tmp_path / "a.musicxml"
    source.write_text(document(("Piano", upper), ("Piano", lower)), "utf-8")
    file = midi.translate.streamToMidiFile(parseFile(source, forceSource=True, storePickle=False))
    score = read(tmp_path, "a.mid", file.writestr())
    keys = [
        (event.offset, event.hand, event.tones[0].pitch.midi)
        for event in score.sheet.bars[0].events
        if event.tones
    ]
    assert sorted(keys) == [
        (0, Hand.LEFT, 48),
        (0, Hand.RIGHT, 72),
        (1, Hand.RIGHT, 78),
        (2, Hand.LEFT, 55),
        (2, Hand.RIGHT, 76),
    ]
    assert "MIDI has keys and times alone" in score.notices[0].message


def single(sign: str, line: int) -> str:
    text = head()
    return text[: text.index("<staves>")] + f"<clef><sign>{sign}</sign><line>{line}</line></clef>"


def test_a_time_wise_score_is_turned(tmp_path: Path) -> None:
    one = measure(1, note("C4", 4), back(4), note("C3", 4, voice=5, staff=2), head=head())
    two = measure(2, note("D4", 4), back(4), note("D3", 4, voice=5, staff=2))
    by_parts = document(("Piano", one + two))
    bodies = [
        text.replace(">", '><part id="P1">', 1).replace("</measure>", "</part></measure>")
        for text in (one, two)
    ]
    by_time = by_parts.replace(f'<part id="P1">{one}{two}</part>', "".join(bodies))
    by_time = by_time.replace("score-partwise", "score-timewise")
    assert read(tmp_path, "a.xml", by_time).sheet == read(tmp_path, "b.xml", by_parts).sheet
    assert read_twice(tmp_path / "a.xml").differences == ()


def test_reading_says_nothing_on_the_terminal(tmp_path: Path) -> None:
    path = tmp_path / "a.krn"
    path.write_text(KERN.replace("8g\\L", "8g\\LL"), "utf-8")
    code = "import sys; from pathlib import Path; from engrave.score import read_score; "
    done = subprocess.run(
        [sys.executable, "-c", code + f"read_score(Path({str(path)!r}))"],
        capture_output=True,
        check=True,
    )
    assert (done.stdout, done.stderr) == (b"", b"")


def test_pedals_wedges_tremolos_and_rolled_chords_in_mei(tmp_path: Path) -> None:
    signs = (
        '<pedal dir="down" tstamp="1" staff="2"/><pedal dir="bounce" tstamp="3" staff="2"/>'
        '<pedal dir="up" tstamp="4" staff="2"/><arpeg plist="#b" startid="#b"/>'
        '<hairpin form="cres" tstamp="1" tstamp2="0m+3" staff="1"/></measure>'
    )
    trembling = (
        '<fTrem unitdur="16"><note xml:id="t" dur="2" oct="3" pname="c"/>'
        '<note xml:id="u" dur="2" oct="3" pname="g"/></fTrem>'
    )
    chord = WALTZ[WALTZ.index('<chord xml:id="c"') : WALTZ.index('<note xml:id="d"')]
    waltz = WALTZ.replace("</measure>", signs).replace(chord, trembling)
    score = read(tmp_path, "waltz.mei", mei("5.0", waltz))
    found = {(span.kind, span.start.offset, span.end.offset) for span in score.sheet.spans}
    assert found == {("pedal", 0, 2), ("pedal", 2, 3), ("crescendo", 0, 2)}
    (bar,) = score.sheet.bars
    assert [event.arpeggio for event in bar.of(Hand.RIGHT)] == [False, True]
    assert [event.tremolo for event in bar.of(Hand.LEFT)] == ["start-2", "stop-2", None]


_EITHER = """
import sys
from pathlib import Path
from engrave.score.reading import read_score
xml, abc = map(Path, sys.argv[1:])
bars = len(read_score(xml).sheet.bars)
assert "music21.abcFormat" not in sys.modules
assert read_score(abc).sheet.bars
assert "music21.abcFormat" in sys.modules
import music21
assert isinstance(music21.musedata.MuseDataWork, type)
assert len(read_score(xml).sheet.bars) == bars
"""


def test_what_musicxml_does_without_is_there_for_others(tmp_path: Path) -> None:
    """MusicXML is read with half of music21 loaded, and the rest joins it."""
    abc = tmp_path / "tune.abc"
    abc.write_text("X:1\nT:Tune\nM:2/4\nL:1/4\nK:C\nC D|E F|\n")
    files = (str(DEMO.score), str(abc))
    subprocess.run([sys.executable, "-c", _EITHER, *files], check=True)
