"""Scores that are odd in one place, or of an unusual build, and are read all the same."""

from pathlib import Path

import pytest

from engrave.errors import EngraveError
from engrave.score import Score, read_score, read_twice
from engrave.score.formats.limits import MOST_IN_BAR
from tests.score.build import back, document, head, measure, note

LOW = (back(4), note("C3", 4, voice=5, staff=2))


def raw_note(duration: object, type_: str = "", step: str = "C", octave: int = 5) -> str:
    return (
        f"<note><pitch><step>{step}</step><octave>{octave}</octave></pitch>"
        f"<duration>{duration}</duration><voice>1</voice>{type_}<staff>1</staff></note>"
    )


BAD = {
    "too long": (raw_note(120 * 300, "<type>whole</type>"), "longer than 256"),
    "endless": (raw_note(10**12), "longer than 256"),
    "no number": (raw_note("x"), "x"),
    "no type": (raw_note(120, "<type>minim</type>"), "minim"),
    "no step": (raw_note(120, step="Q"), "Q"),
    "beyond hearing": (raw_note(120, octave=44), "octave 44"),
    "no staff": (raw_note(120).replace("<staff>1", "<staff>7"), "staff 7"),
    "crowded": (raw_note(1) * (MOST_IN_BAR + 1), "more than 2000"),
}


@pytest.mark.parametrize("kind", BAD)
def test_one_odd_measure_is_told_and_the_rest_is_read(tmp_path: Path, kind: str) -> None:
    bad, why = BAD[kind]
    path = tmp_path / "piece.musicxml"
    first = measure(1, note("C5", 4), *LOW, head=head())
    last = measure(3, note("D5", 4), *LOW)
    path.write_text(document(("Piano", first + measure(2, bad) + last)), "utf-8")
    twice = read_twice(path)
    (unread,) = twice.score.unread
    assert unread[0] == 1
    assert why in unread[1]
    assert [len(bar.events) for bar in twice.score.sheet.bars] == [2, 0, 2]
    assert twice.score.sheet.bars[1].is_full
    told = [each.message for each in twice.score.notices]
    assert any(text.startswith("measure 2 cannot be read and stands empty") for text in told)
    assert twice.differences == ()


def test_a_score_of_nothing_but_odd_measures_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "piece.musicxml"
    path.write_text(document(("Piano", measure(1, raw_note(10**9), head=head()))), "utf-8")
    with pytest.raises(EngraveError, match="measure 1 cannot be meant"):
        read_score(path)


HEAD = "**kern **kern\n*clefF4 *clefG2\n*M2/4 *M2/4\n"


def kern(folder: Path, text: str) -> Score:
    path = folder / "piece.krn"
    path.write_bytes(text.replace(" ", "\t").replace("_", " ").encode())
    return read_score(path)


def bar(number: int, *lines: str) -> str:
    return "\n".join([f"={number} ={number}", *(lines or ("4C 4c", "4D 4d")), ""])


@pytest.mark.parametrize(
    "lines", [("4C 4c", "4D 8d"), ("7%13C 7%13c", "4D 4d"), ("4XYZ zzz", "4D 4d")]
)
def test_an_odd_length_in_kern_costs_its_measure(tmp_path: Path, lines: tuple[str, ...]) -> None:
    score = kern(tmp_path, HEAD + bar(1) + bar(2, *lines) + bar(3) + "== ==\n*- *-\n")
    assert [bar.name for bar in score.sheet.bars] == ["1", "2", "3"]
    assert [number for number, _ in score.unread] == [1]
    assert [len(bar.events) for bar in score.sheet.bars] == [4, 0, 4]


def test_lines_that_end_as_elsewhere(tmp_path: Path) -> None:
    text = HEAD + bar(1) + bar(2) + "== ==\n*- *-\n"
    mine = kern(tmp_path, text)
    for end in ("\r\n", "\r"):
        assert kern(tmp_path, text.replace("\n", end)).sheet == mine.sheet


def test_a_first_measure_without_a_bar_line_is_the_first(tmp_path: Path) -> None:
    full = kern(tmp_path, HEAD + "4C 4c\n4D 4d\n" + bar(2) + "*- *-\n")
    assert [bar.name for bar in full.sheet.bars] == ["1", "2"]
    pickup = kern(tmp_path, HEAD + "4D 4d\n" + bar(1) + bar(2) + "*- *-\n")
    assert [bar.name for bar in pickup.sheet.bars] == ["0", "1", "2"]


THREE = "4C 4c 4cc\n4D 4d 4dd\n=2 =2 =2\n2E 2e 2ee\n== == ==\n*- *- *-\n"


@pytest.mark.parametrize(
    "names",
    ["*part1 *part1 *part1\n", '*I"Piano *I"Piano *I"Piano\n', "*Ipiano *Ipiano *Ipiano\n", ""],
)
def test_three_spines_of_a_piano_are_three_staves(tmp_path: Path, names: str) -> None:
    clefs = "*clefF4 *clefG2 *clefG2\n*M2/4 *M2/4 *M2/4\n=1 =1 =1\n"
    score = kern(tmp_path, "**kern **kern **kern\n" + names + clefs + THREE)
    assert score.sheet.staves == (1, 2, 3)
    assert [event.staff for event in score.sheet.bars[1].events] == [1, 2, 3]


def test_three_spines_of_a_trio_are_not(tmp_path: Path) -> None:
    names = '*I"Violin *I"Viola *I"Cello\n*M2/4 *M2/4 *M2/4\n=1 =1 =1\n'
    with pytest.raises(EngraveError, match="several parts"):
        kern(tmp_path, "**kern **kern **kern\n" + names + THREE)


@pytest.mark.parametrize(
    ("claimed", "staves", "events"),
    [("2 1 1", ((1, 2), (3,)), [1, 1, 2]), ("1 1 1", ((1,), (2,), (3,)), [1, 2, 3])],
)
def test_a_staff_number_used_twice(
    tmp_path: Path, claimed: str, staves: object, events: list[int]
) -> None:
    numbers = " ".join(f"*staff{number}" for number in claimed.split())
    clefs = "*clefF4 *clefG2 *clefG2\n*M2/4 *M2/4 *M2/4\n=1 =1 =1\n"
    score = kern(tmp_path, f"**kern **kern **kern\n*part1 *part1 *part1\n{numbers}\n{clefs}{THREE}")
    assert score.staves == staves
    assert [event.staff for event in score.sheet.bars[1].events] == events


def test_a_piano_of_four_staves(tmp_path: Path) -> None:
    voices = [note("C6", 4)]
    for staff, pitch in ((2, "C5"), (3, "C4"), (4, "C3")):
        voices += [back(4), note(pitch, 4, voice=staff, staff=staff)]
    four = head().replace("<staves>2</staves>", "<staves>4</staves>")
    path = tmp_path / "piece.musicxml"
    path.write_text(document(("Piano", measure(1, *voices, head=four))), "utf-8")
    twice = read_twice(path)
    assert twice.differences == ()
    assert [(e.staff, str(e.hand)) for e in twice.score.sheet.bars[0].events] == [
        (1, "right"), (2, "right"), (3, "left"), (4, "left")
    ]  # fmt: skip


def test_abc_of_two_staves(tmp_path: Path) -> None:
    path = tmp_path / "piece.abc"
    path.write_text(
        "X:1\nT:Two\nM:2/4\nL:1/4\nK:C\nV:1\nc d | e f |]\nV:2 clef=bass\nC, D, | E, F, |]\n",
        "utf-8",
    )
    twice = read_twice(path)
    assert twice.score.sheet.staves == (1, 2)
    assert twice.differences == ()


def test_a_midi_file_of_a_few_bytes_that_would_last_for_days(tmp_path: Path) -> None:
    events = bytes.fromhex("00903c40 60803c00 afd7c200903e40 60803e00 00ff2f00")
    track = b"MTrk" + len(events).to_bytes(4, "big") + events
    path = tmp_path / "piece.mid"
    path.write_bytes(b"MThd" + bytes([0, 0, 0, 6, 0, 0, 0, 1, 0, 96]) + track)
    with pytest.raises(EngraveError, match="quarters, more than"):
        read_score(path)


def test_strokes_without_a_pitch_are_rests(tmp_path: Path) -> None:
    path = tmp_path / "piece.mei"
    knock = '<note loc="4" dur="4"/>'
    path.write_text(
        '<mei xmlns="http://www.music-encoding.org/ns/mei" meiversion="5.0"><music><body><mdiv>'
        '<score><scoreDef meter.count="2" meter.unit="4"><staffGrp symbol="brace">'
        '<staffDef n="1" lines="5" clef.shape="G" clef.line="2"/>'
        '<staffDef n="2" lines="5" clef.shape="F" clef.line="4"/></staffGrp></scoreDef><section>'
        f'<measure n="1"><staff n="1"><layer n="1"><note pname="c" oct="5" dur="4"/>{knock}</layer>'
        '</staff><staff n="2"><layer n="1"><note pname="c" oct="3" dur="2"/></layer></staff>'
        "</measure></section></score></mdiv></body></music></mei>",
        "utf-8",
    )
    score = read_score(path)
    assert [event.is_rest for event in score.sheet.bars[0].events] == [False, False, True]
    assert "not read: strokes without a pitch (1), in measure 1" in [
        n.message for n in score.notices
    ]


@pytest.mark.parametrize(
    "odd", ['<note pname="c" oct="5" dur="5"/>', '<note pname="x" oct="5" dur="4"/>']
)
def test_a_measure_of_mei_that_no_reader_takes_costs_itself(tmp_path: Path, odd: str) -> None:
    path = tmp_path / "piece.mei"

    def staves(upper: str) -> str:
        note = '<note pname="c" oct="3" dur="2"/>'
        return (
            f'<staff n="1"><layer n="1">{upper}</layer></staff>'
            f'<staff n="2"><layer n="1">{note}</layer></staff>'
        )

    whole = '<note xml:id="{0}" pname="c" oct="5" dur="2"/>'
    measures = (
        f'<measure n="1">{staves(whole.format("a"))}<slur startid="#a" endid="#b"/></measure>'
        f'<measure n="2">{staves(odd + whole.format("b"))}</measure>'
        f'<measure n="3">{staves(whole.format("c"))}</measure>'
    )
    path.write_text(
        '<mei xmlns="http://www.music-encoding.org/ns/mei" meiversion="5.0"><music><body><mdiv>'
        '<score><scoreDef meter.count="2" meter.unit="4"><staffGrp symbol="brace">'
        '<staffDef n="1" lines="5" clef.shape="G" clef.line="2"/>'
        '<staffDef n="2" lines="5" clef.shape="F" clef.line="4"/></staffGrp></scoreDef>'
        f"<section>{measures}</section></score></mdiv></body></music></mei>",
        "utf-8",
    )
    twice = read_twice(path)
    score = twice.score
    assert [len(bar.events) for bar in score.sheet.bars] == [2, 0, 2]
    assert [number for number, _ in score.unread] == [1]
    assert not [each for each in twice.differences if each.bar != 1]
    (told,) = [n.message for n in score.notices if "measure 2 cannot be read" in n.message]
    assert "values or pitches that MEI does not know" in told


def test_kern_and_abc_that_their_readers_would_never_end(tmp_path: Path) -> None:
    """Slurs upon slurs at one note, and a rest of a hundred million bars, in a few bytes."""
    kern = tmp_path / "piece.krn"
    kern.write_text(f"**kern\n*M3/4\n=1\n2.{'(' * 50_000}c\n==\n*-\n", "utf-8")
    with pytest.raises(EngraveError, match="line 4 holds 50003 letters for one note"):
        read_score(kern)
    abc = tmp_path / "piece.abc"
    abc.write_text("X:1\nT:Piece\nM:3/4\nL:1/4\nK:C\nZ99999999|c d e|\n", "utf-8")
    with pytest.raises(EngraveError, match="a rest of 99999999 measures cannot be meant"):
        read_score(abc)
