"""Scores that are odd in one place, or of an unusual build, and are read all the same."""

from pathlib import Path

import pytest

from engrave.errors import EngraveError
from engrave.score import Score, read_score, read_twice
from engrave.score.formats.limits import MOST_IN_BAR
from tests.score.build import back, document, head, measure, note


def mei_document(music: str) -> str:
    return (
        '<mei xmlns="http://www.music-encoding.org/ns/mei" meiversion="5.0"><music><body><mdiv>'
        '<score><scoreDef meter.count="2" meter.unit="4"><staffGrp symbol="brace">'
        '<staffDef n="1" lines="5" clef.shape="G" clef.line="2"/>'
        '<staffDef n="2" lines="5" clef.shape="F" clef.line="4"/></staffGrp></scoreDef>'
        f"<section>{music}</section></score></mdiv></body></music></mei>"
    )


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


@pytest.mark.parametrize("claimed", ["1 1 1", "2 1 1", "1 2 2"])
def test_readers_agree_on_staves_that_share_a_number(tmp_path: Path, claimed: str) -> None:
    numbers = " ".join(f"*staff{number}" for number in claimed.split())
    clefs = "*clefF4 *clefG2 *clefG2\n*M2/4 *M2/4 *M2/4\n=1 =1 =1\n"
    path = tmp_path / "piece.krn"
    text = f"**kern **kern **kern\n*part1 *part1 *part1\n{numbers}\n{clefs}{THREE}"
    path.write_text(text.replace(" ", "\t"), "utf-8")
    assert read_twice(path).differences == ()


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


EIGHTH = '<note pname="c" oct="5" dur="8"/>'
MEI_ODD = {
    "length": ('<note pname="c" oct="5" dur="3"/>', "values or pitches"),
    "value": ('<note pname="c" oct="5" dur="4294967296"/>', "values or pitches"),
    "step": ('<note pname="h" oct="5" dur="4"/>', "values or pitches"),
    "octave": ('<note pname="c" oct="999999" dur="4"/>', "values or pitches"),
    "dots": ('<note pname="c" oct="5" dur="4" dots="99"/>', "values or pitches"),
    "chord": ('<chord dur="2"/>', "chord without notes"),
    "share": (
        f'<tuplet num="{10**300}" numbase="2">' + EIGHTH * 3 + "</tuplet>",
        "tuplet of more than 256",
    ),
    "tuplet": ('<tuplet num="0"><note pname="c" oct="5" dur="4"/></tuplet>', "division by zero"),
}


def mei_measure(number: int, upper: str) -> str:
    return (
        f'<measure n="{number}"><staff n="1"><layer n="1">{upper}</layer></staff>'
        '<staff n="2"><layer n="1"><note pname="c" oct="3" dur="2"/></layer></staff></measure>'
    )


MEI_GOOD = '<note pname="c" oct="5" dur="4"/><note pname="d" oct="5" dur="4"/>'


@pytest.mark.parametrize("kind", MEI_ODD)
def test_an_odd_measure_of_mei_costs_itself(tmp_path: Path, kind: str) -> None:
    odd, why = MEI_ODD[kind]
    path = tmp_path / "piece.mei"
    music = mei_measure(1, MEI_GOOD) + mei_measure(2, odd) + mei_measure(3, MEI_GOOD)
    path.write_text(mei_document(music), "utf-8")
    twice = read_twice(path)
    (unread,) = twice.score.unread
    assert unread[0] == 1
    assert why in unread[1]
    assert [len(bar.events) for bar in twice.score.sheet.bars] == [3, 0, 3]
    assert twice.differences == ()


def test_a_finger_of_mei_without_a_place_is_left_out(tmp_path: Path) -> None:
    fingers = '<fing tstamp="nan" staff="x">1</fing><fing tstamp="2" staff="x">2</fing></measure>'
    path = tmp_path / "piece.mei"
    music = mei_measure(1, MEI_GOOD).replace("</measure>", fingers)
    path.write_text(mei_document(music), "utf-8")
    events = [event for event in read_score(path).sheet.bars[0].events if event.staff == 1]
    fingers_read = [event.tones[0].finger for event in events]
    assert [finger and finger.number for finger in fingers_read] == [None, 2]


def test_what_ends_in_an_odd_measure_of_mei_goes_with_it(tmp_path: Path) -> None:
    first = MEI_GOOD.replace('pname="d"', 'xml:id="a" pname="d"')
    odd = '<note xml:id="b" pname="c" oct="5" dur="5"/>'
    slur = '<slur startid="#a" endid="#b"/></measure>'
    music = mei_measure(1, first).replace("</measure>", slur) + mei_measure(2, odd)
    path = tmp_path / "piece.mei"
    path.write_text(mei_document(music), "utf-8")
    score = read_score(path)
    assert [number for number, _ in score.unread] == [1]
    assert score.sheet.spans == ()


@pytest.mark.parametrize(("upper", "length"), [(MEI_GOOD * 2, 4), (MEI_GOOD[:33], 2)])
def test_a_measure_of_mei_too_full_or_too_short_is_kept(
    tmp_path: Path, upper: str, length: int
) -> None:
    path = tmp_path / "piece.mei"
    music = mei_measure(1, MEI_GOOD) + mei_measure(2, upper) + mei_measure(3, MEI_GOOD)
    path.write_text(mei_document(music), "utf-8")
    score = read_score(path)
    assert score.unread == ()
    assert [bar.length for bar in score.sheet.bars] == [2, length, 2]


def test_lengths_are_counted_on_after_a_first_measure_that_cannot_be_read(tmp_path: Path) -> None:
    clef = head().replace("<line>2", "<line>99")
    first = measure(1, note("C5", 4), *LOW, head=clef)
    path = tmp_path / "piece.musicxml"
    path.write_text(document(("Piano", first + measure(2, note("D5", 4), *LOW))), "utf-8")
    score = read_score(path)
    assert [number for number, _ in score.unread] == [0]
    assert score.sheet.bars[1].length == 4


def kern_of(*lines: str, head: str = HEAD) -> str:
    return (head + bar(1) + bar(2, *lines) + bar(3) + "== ==\n*- *-\n").replace(" ", "\t")


ENDLESS_IN_KERN = {
    "number": "1" + "0" * 5000 + "C 4c",
    "over": "1%999999999C 4c",
    "dots": "4" + "." * 9000 + "C 4c",
    "octaves": "4" + "C" * 9000 + " 4c",
    "sharps": "4C" + "#" * 9000 + " 4c",
    "slurs": "(" * 9000 + "4C 4c",
    "beams": "8C" + "L" * 9000 + " 8c",
    "chord": "_".join(["4C"] * 3000) + " 4c",
}


@pytest.mark.parametrize("kind", ENDLESS_IN_KERN)
def test_what_is_endless_in_kern_costs_its_measure(tmp_path: Path, kind: str) -> None:
    path = tmp_path / "piece.krn"
    text = kern_of(ENDLESS_IN_KERN[kind], "4D 4d")
    path.write_text(text.replace("_", " "), "utf-8")
    twice = read_twice(path)
    assert [number for number, _ in twice.score.unread] == [1]
    assert [len(bar.events) for bar in twice.score.sheet.bars] == [4, 0, 4]
    assert twice.heard_out
    assert twice.differences == ()


ABC_HEAD = "X:1\nT:Two\nM:2/4\nL:1/4\nK:C\n"
MUSIC = measure(1, note("C5", 4), *LOW, head=head())
ABSURD = {
    "divisions of nothing.musicxml": (
        document(("Piano", MUSIC.replace("<divisions>120", "<divisions>0"))),
        "divisions 0",
    ),
    "divisions.musicxml": (
        document(("Piano", MUSIC.replace("<divisions>120", "<divisions>" + "9" * 5000))),
        "divisions 999999999999 cannot",
    ),
    "below nothing.musicxml": (
        document(("Piano", MUSIC.replace("<divisions>120", "<divisions>-3"))),
        "divisions -3",
    ),
    "unit.musicxml": (
        document(("Piano", MUSIC.replace("<beat-type>4", "<beat-type>1000000007"))),
        "beat-type 1000000007",
    ),
    "key.musicxml": (
        document(("Piano", MUSIC.replace("<fifths>0", "<fifths>60"))),
        "fifths 60",
    ),
    "staves.musicxml": (
        document(("Piano", MUSIC.replace("<staves>2", "<staves>" + "9" * 6000))),
        "staves 999999999999",
    ),
    "parts.musicxml": (document(*(("Piano", MUSIC) for _ in range(1000))), "1000 parts"),
    "measures.musicxml": (
        document(("Piano", MUSIC + "<measure/>" * 20_000)),
        "20001 measures",
    ),
    "deep.musicxml": (
        document(("Piano", MUSIC + "<note>" * 9000 + "</note>" * 9000)),
        "more than 100 deep",
    ),
    "deep.mei": ("<beam>" * 9000, "more than 100 deep"),
    "unit.mei": ("", "meter.unit 0"),
    "staves.mei": ("", "1002 parts"),
    "spines.krn": ("\t".join(["**kern"] * 3000) + "\n", "3000 parts"),
    "bars.krn": (HEAD.replace(" ", "\t") + "=\t=\n" * 20_000, "20000 measures"),
    "unit.krn": (kern_of("4C 4c", "4D 4d").replace("M2/4", "M2/1000000007"), "1000000007 cannot"),
    "bar.krn": (kern_of("4C 4c", "4D 4d").replace("=3", "=" + "9" * 5000), "line 10 cannot"),
    "tempo.krn": (
        kern_of("4C 4c", "4D 4d").replace("*M2/4\t*M2/4", "*MM" + "9" * 5000 + "\t*"),
        "line 3 cannot",
    ),
    "length.abc": (ABC_HEAD + "c" + "9" * 5000 + "|\n", "line 6 cannot"),
    "rest.abc": (ABC_HEAD + "Z100000000|c|\n", "rest of 100000000 measures"),
    "tuplet.abc": (ABC_HEAD + "(1000000000:2:3cde|\n", "line 6 cannot"),
    "slurs.abc": (ABC_HEAD + "(" * 5000 + "c|\n", "line 6 cannot"),
    "unit.abc": (ABC_HEAD.replace("1/4", "1/" + "9" * 3000) + "cd|\n", "999999999999 cannot"),
    "voices.abc": (ABC_HEAD + "".join(f"V:{n}\ncd|\n" for n in range(2000)), "2000 parts"),
    "line.abc": (ABC_HEAD + "cd|" * 9000 + "\n", "27000 letters"),
    "bars.mei": ("", "5000 measures"),
    "bars.abc": (ABC_HEAD + "cd|\n" * 20_000, "20000 measures"),
}


@pytest.mark.parametrize("name", ABSURD)
def test_what_no_score_holds_is_told_before_it_is_read(tmp_path: Path, name: str) -> None:
    text, why = ABSURD[name]
    if name == "deep.mei":
        text = mei_document(mei_measure(1, text + MEI_GOOD + "</beam>" * 9000))
    elif name == "unit.mei":
        text = mei_document(mei_measure(1, MEI_GOOD)).replace('unit="4"', 'unit="0"')
    elif name == "bars.mei":
        text = mei_document(mei_measure(1, MEI_GOOD) * 5000)
    elif name == "staves.mei":
        text = mei_document(mei_measure(1, MEI_GOOD)).replace(
            "</staffGrp>", '<staffDef n="3" lines="5"/>' * 1000 + "</staffGrp>"
        )
    path = tmp_path / name.replace(" ", "-")
    path.write_text(text, "utf-8")
    with pytest.raises(EngraveError, match=why) as told:
        read_score(path)
    assert told.value.hint


def test_a_number_beyond_readers_gets_no_second_opinion(tmp_path: Path) -> None:
    path = tmp_path / "piece.musicxml"
    bad = measure(2, f"<forward><duration>{10**15}</duration></forward>", note("C5", 4))
    path.write_text(document(("Piano", MUSIC + bad)), "utf-8")
    twice = read_twice(path)
    assert [number for number, _ in twice.score.unread] == [1]
    assert "no second reader" in twice.score.notices[-1].message


def test_strokes_without_a_pitch_are_rests(tmp_path: Path) -> None:
    path = tmp_path / "piece.mei"
    knock = '<note loc="4" dur="4"/>'
    path.write_text(mei_document(mei_measure(1, MEI_GOOD[:33] + knock)), "utf-8")
    score = read_score(path)
    assert [event.is_rest for event in score.sheet.bars[0].events] == [False, False, True]
    assert "not read: strokes without a pitch (1), in measure 1" in [
        n.message for n in score.notices
    ]


def test_abc_that_its_reader_would_never_end(tmp_path: Path) -> None:
    """A rest of a hundred million bars, in a few bytes."""
    abc = tmp_path / "piece.abc"
    abc.write_text("X:1\nT:Piece\nM:3/4\nL:1/4\nK:C\nZ99999999|c d e|\n", "utf-8")
    with pytest.raises(EngraveError, match="a rest of 99999999 measures cannot be meant"):
        read_score(abc)


def test_a_bar_number_of_thousands_of_digits_is_told_by_both_readers(tmp_path: Path) -> None:
    """The second reader is asked first; it must not stop at what the first one tells."""
    path = tmp_path / "piece.krn"
    path.write_text(f"**kern\n*M3/4\n=1\n2.c\n={'9' * 6000}\n2.c\n==\n*-\n", "utf-8")
    with pytest.raises(EngraveError, match="line 5 cannot be meant: '999999999999'"):
        read_twice(path)
