"""What is printed once a bar or once a sheet: element by element, as MusicXML 4.0 names them."""

import os
import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from typing import Any
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

import pytest

from engrave.music.sheet import Bar, Direction, Ending, Key, Meter, Moment, Sheet, Span
from engrave.notation import musicxml
from tests.engraver import gallery
from tests.schema import validate
from tests.sheets import bar, events, sheet

Q = Fraction


def written(made: Sheet) -> Element:
    document = musicxml(made)
    validate(document)
    return ElementTree.fromstring(document)


def tags(root: Element, path: str) -> list[str]:
    return [element.tag for element in root.findall(path)]


def test_one_staff_or_two() -> None:
    alone = written(sheet(bar("C4:2")))
    assert alone.find(".//staves") is None
    assert alone.find(".//staff") is None
    left = written(sheet(bar(events("C3:2", 5)), staves=(2,)))
    assert left.findtext(".//clef/sign") == "F"
    assert left.findtext(".//voice") == "5"
    both = written(sheet(bar("C4:2", "C3:2"), staves=(1, 2)))
    assert both.findtext(".//staves") == "2"
    assert [staff.text for staff in both.iter("staff")] == ["1", "2"]


def test_an_empty_staff_rests_for_the_bar() -> None:
    root = written(sheet(bar("C4:2"), staves=(1, 2)))
    rest = root.find(".//rest[@measure='yes']/..")
    assert rest is not None
    assert rest.findtext("staff") == "2"
    assert rest.findtext("duration") == "2"


def test_gaps_are_moved_over_and_filling_rests_hidden() -> None:
    late = replace(events("C4:4")[0], offset=Q(1))
    root = written(sheet(replace(bar((late,)), length=Q(2))))
    assert tags(root, ".//measure/*")[1:] == ["forward", "note"]
    rest = replace(events("r:2")[0], silent=True)
    root = written(sheet(bar((rest,))))
    assert root.find(".//note[@print-object='no']") is not None


def test_meter_hidden_then_shown_then_changed() -> None:
    bars = (
        bar("C4:2", meter_shown=False),
        bar("C4:2", meter_shown=True),
        bar("C4:2"),
        bar("C4:2.", meter="3/4"),
    )
    times = [measure.find(".//time") for measure in written(sheet(*bars)).iter("measure")]
    assert [time is not None for time in times] == [True, True, False, True]
    assert [time.get("print-object") for time in times if time is not None] == ["no", None, None]


def test_key_change_common_time_and_line_break() -> None:
    changed = bar("C4:1", meter="4/4", key=-3, system_break=True)
    changed = replace(changed, key=Key(-3, "minor"), meter=Meter(4, 4, "common"))
    root = written(sheet(bar("C4:1", meter="4/4"), changed))
    second = root.findall(".//measure")[1]
    assert second.findtext(".//fifths") == "-3"
    assert second.findtext(".//mode") == "minor"
    assert second.find(".//time[@symbol='common']") is not None
    assert second.find("print[@new-system='yes']") is not None


def test_repeats_endings_and_names() -> None:
    def made(name: str, **more: Any) -> Bar:
        return bar("C4:2", name=name, **more)

    root = written(
        sheet(
            made("0", implicit=True),
            made("1", repeat_start=True),
            made("12a", ending=Ending("1", "start-stop"), repeat_end=True),
            made("12b", ending=Ending("2", "start-stop"), barline="light-heavy"),
        )
    )
    measures = root.findall(".//measure")
    assert [m.get("number") for m in measures] == ["0", "1", "12a", "12b"]
    assert [m.get("implicit") for m in measures] == ["yes", None, None, None]
    assert tags(measures[1], "barline/*") == ["bar-style", "repeat"]
    assert tags(measures[2], "barline/*") == ["ending", "bar-style", "ending", "repeat"]
    assert measures[3].findtext("barline[@location='right']/bar-style") == "light-heavy"


def test_the_second_part_of_a_divided_bar_counts_from_the_first() -> None:
    """A repeat that begins with an upbeat of five sixteenths: one alone, then a beat of four."""
    upbeat = " ".join(["C5:16"] * 5)
    first, second = bar("C5:8."), bar(upbeat, implicit=True)
    _, measure = written(sheet(first, second)).iter("measure")
    found = [note.findtext("beam") for note in measure.iter("note")]
    assert found == [None, "begin", "continue", "continue", "end"]


@pytest.mark.parametrize(
    ("unit", "per_minute", "name", "dots", "tempo"),
    [
        (Q(3, 2), 60, "quarter", 1, "90"),
        (Q(1, 2), 120, "eighth", 0, "60"),
        (2, 60, "half", 0, "120"),
    ],
)
def test_metronome_marks(unit: Q, per_minute: int, name: str, dots: int, tempo: str) -> None:
    """``sound/@tempo`` is quarters a minute (MusicXML 4.0): dotted quarter = 60 is 90."""
    mark = Direction(Q(0), 1, "metronome", beat_unit=Q(unit), per_minute=Q(per_minute))
    root = written(sheet(replace(bar("C4:2"), directions=(mark,))))
    assert root.findtext(".//metronome/beat-unit") == name
    assert len(root.findall(".//metronome/beat-unit-dot")) == dots
    assert root.find(f".//sound[@tempo='{tempo}']") is not None


def test_directions_stand_where_time_has_come_to_them() -> None:
    marks = (
        Direction(Q(1), 1, "dynamic", "mf", "below"),
        Direction(Q(3, 2), 1, "words", "dolce", italic=True),
        Direction(Q(0), 1, "dynamic", "molto f", "below"),
    )
    root = written(sheet(replace(bar("C4:4 D4:4"), directions=marks)))
    assert tags(root, ".//measure/*") == [
        "attributes", "direction", "note", "direction", "direction", "note",
    ]  # fmt: skip
    assert root.findtext(".//other-dynamics") == "molto f"
    assert root.findtext(".//words[@font-style='italic']/../../offset") == "1"
    assert root.findtext(".//divisions") == "2"


def test_an_octave_line_is_named_by_what_the_print_does() -> None:
    """MusicXML 4.0: 8va is ``octave-shift type="down"``; ``pitch`` is what sounds."""
    root = written(gallery.octave_line())
    assert [shift.get("type") for shift in root.iter("octave-shift")] == ["down", "stop"]
    assert root.findtext(".//octave") == "6"


def test_spans_open_at_once_have_different_numbers() -> None:
    def slur(start: tuple[int, int], end: tuple[int, int], voice: int) -> Span:
        a, b = Moment(start[0], Q(start[1])), Moment(end[0], Q(end[1]))
        return Span("slur", a, b, voice=voice, end_voice=voice)

    two = bar("C4:4 D4:4", "C3:4 D3:4")
    spans = (
        slur((0, 1), (1, 1), 1), slur((0, 0), (0, 1), 5), slur((0, 0), (0, 1), 1),
        slur((1, 0), (1, 1), 5),
    )  # fmt: skip
    root = written(sheet(two, two, staves=(1, 2), spans=spans))
    open_now: set[str | None] = set()
    for sign in root.iter("slur"):
        if sign.get("type") == "start":
            assert sign.get("number") not in open_now
            open_now.add(sign.get("number"))
        else:
            open_now.remove(sign.get("number"))
    assert not open_now


def test_a_slur_may_begin_on_a_grace_note() -> None:
    made = sheet(bar("/B4:8 C5:4 D5:4"))
    place = Moment(0, Q(0))
    root = written(replace(made, spans=(Span("slur", place, place, from_grace=True),)))
    first, second, _ = root.iter("note")
    assert first.find(".//slur[@type='start']") is not None
    assert second.find(".//slur[@type='stop']") is not None


def test_fingers_stand_at_their_notes_and_say_who_says_so() -> None:
    root = written(sheet(bar("C4,E4:2=1,3*", "C3:2=5"), staves=(1, 2)))
    found = [
        (
            note.findtext("pitch/step"),
            finger.text,
            finger.get("placement"),
            finger.get("font-style"),
        )
        for note in root.iter("note")
        for finger in note.iter("fingering")
    ]
    assert found == [
        ("C", "1", "above", None), ("E", "3", "above", "italic"), ("C", "5", "below", None),
    ]  # fmt: skip


def test_tremolos_and_trill_lines() -> None:
    first, second = events("C5:4 D5:4")
    pair = (
        replace(first, tremolo="start-3", ornaments=("trill-mark",), trill_line="start"),
        replace(second, tremolo="stop-3", trill_line="stop"),
    )
    root = written(sheet(bar(pair), bar((replace(events("C5:2")[0], tremolo="3"),))))
    found = [(sign.get("type"), sign.text) for sign in root.iter("tremolo")]
    assert found == [("start", "3"), ("stop", "3"), ("single", "3")]
    assert [line.get("type") for line in root.iter("wavy-line")] == ["start", "stop"]


def test_a_note_of_another_type_than_its_tuplet_counts_says_what_that_is() -> None:
    """MusicXML 4.0, ``normal-type``: for a quarter within an eighth-note triplet it is eighth."""
    root = written(sheet(bar("C5:4t D5:8t E5:8t F5:8.t G5:16t")))
    found = [note.findtext("time-modification/normal-type") for note in root.iter("note")]
    assert found == ["eighth", None, None, None, "eighth"]


def test_two_voices_of_a_staff_have_stems_up_and_down() -> None:
    two = bar(events("C5:2", 1) + events("E4:2", 2))
    assert [stem.text for stem in written(sheet(two)).iter("stem")] == ["up", "down"]
    assert not list(written(sheet(bar("C5:2"))).iter("stem"))


@pytest.mark.parametrize(
    "wrong",
    [
        replace(bar("C4:2"), length=Q(1)),
        bar((*events("C4:2"), replace(events("D4:4")[0], offset=Q(1)))),
        bar("C4:2!no-such-thing"),
    ],
)
def test_what_cannot_be_written_is_refused(wrong: Bar) -> None:
    with pytest.raises(ValueError, match=r"overfull|no-such-thing"):
        musicxml(sheet(wrong))


def test_the_same_sheet_gives_the_same_bytes_in_another_process() -> None:
    code = (
        "import hashlib; from tests.engraver import gallery; from engrave.notation import musicxml;"
        "print(hashlib.sha256(musicxml(gallery.two_hands())).hexdigest())"
    )
    digests = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(digests) == 1
