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

from engrave.music.notes import Hand
from engrave.music.sheet import (
    BASS,
    Bar,
    ClefChange,
    Direction,
    Ending,
    KeySignature,
    Meter,
    Moment,
    Sheet,
    Span,
)
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
    assert [clef.attrib for clef in alone.iter("clef")] == [{}]
    left = written(sheet(bar(events("C3:2", 5)), staves=(2,)))
    assert left.findtext(".//clef/sign") == "F"
    assert left.findtext(".//voice") == "5"
    both = written(sheet(bar("C4:2", "C3:2"), staves=(1, 2)))
    assert both.findtext(".//staves") == "2"
    assert [staff.text for staff in both.iter("staff")] == ["1", "2"]
    assert [clef.get("number") for clef in both.iter("clef")] == ["1", "2"]


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
    changed = replace(changed, key=KeySignature(-3, "minor"), meter=Meter(4, 4, "common"))
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


def test_the_side_of_a_slur_is_told_where_it_begins() -> None:
    start, end = Moment(0, Q(0)), Moment(0, Q(1))
    slur = Span("slur", start, end, placement="below")
    root = written(sheet(bar("C4:4 D4:4"), spans=(slur,)))
    sides = {sign.get("type"): sign.get("placement") for sign in root.iter("slur")}
    assert sides == {"start": "below", "stop": None}


@pytest.mark.parametrize("offset", [Q(1, 2), Q(1)])
def test_a_clef_in_a_bar_stands_where_it_changes(offset: Fraction) -> None:
    made = replace(bar("C4:8 D4:8 E4:8 F4:8"), clefs=(ClefChange(offset, 1, BASS),))
    (measure,) = written(sheet(made)).iter("measure")
    signs = [each for each in measure if each.tag == "note" or each.find("clef") is not None]
    last = max(place for place, each in enumerate(signs) if each.tag == "attributes")
    assert last == offset / Q(1, 2) + 1  # behind the first clef and the notes before


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


def test_a_title_stands_where_there_is_one() -> None:
    made = sheet(bar("C4:2"))
    assert ElementTree.fromstring(musicxml(made)).find("work") is None
    titled = ElementTree.fromstring(musicxml(made, title="Rondo: rhythms"))
    assert titled.findtext("work/work-title") == "Rondo: rhythms"
    assert titled.find("identification/creator") is None


def test_a_composer_is_named_as_the_creator() -> None:
    """MusicXML 4.0: ``creator`` of type composer, before the encoding."""
    root = ElementTree.fromstring(musicxml(sheet(bar("C4:2")), composer="Orla Windhaber"))
    identification = root.find("identification")
    assert identification is not None
    assert [each.tag for each in identification] == ["creator", "encoding"]
    creator = identification[0]
    assert (creator.get("type"), creator.text) == ("composer", "Orla Windhaber")


def test_a_silent_staff_rests_in_its_own_first_voice() -> None:
    """Voices 1 to 4 are the upper staff's, 5 to 8 the lower one's."""
    for words, voice, resting in (("C4:2", 1, "5"), ("C3:2", 5, "1")):
        root = written(sheet(bar(events(words, voice)), staves=(1, 2)))
        rest = root.find(".//rest/..")
        assert rest is not None
        assert rest.findtext("voice") == resting


def test_no_rest_stands_among_notes_that_come_over_from_the_other_staff() -> None:
    (rest,) = events("r:2")
    whole = replace(rest, whole_bar=True)
    low, high = events("C3:4 E4:4", 5)
    over = written(sheet(bar((whole, low, replace(high, staff=1))), staves=(1, 2)))
    assert over.find(".//note[@print-object='no']/rest") is not None
    own = written(sheet(bar((whole, *events("E4:4 C4:4", 2)), (low, high)), staves=(1, 2)))
    assert own.find(".//note[@print-object='no']") is None


def test_a_voice_of_a_staff_leaves_it_without_a_rest() -> None:
    """Voice 8 is the lower staff's, wherever its notes are printed."""
    for voice, resting in ((8, 0), (5, 0), (4, 1)):
        crossing = events("C4:2", 1) + events("E4:2", voice, staff=1)
        root = written(sheet(bar(crossing), staves=(1, 2)))
        assert len(root.findall(".//rest")) == resting


def test_accents_stand_on_the_side_of_the_fingers_and_staccato_where_it_likes() -> None:
    root = written(sheet(bar("C5:2!accent!staccato", "C3:2!accent!tenuto"), staves=(1, 2)))
    found = {
        (sign.tag, sign.get("placement"))
        for notations in root.iter("articulations")
        for sign in notations
    }
    assert found == {
        ("accent", "above"), ("staccato", None), ("accent", "below"), ("tenuto", None),
    }  # fmt: skip


@pytest.mark.parametrize(
    "mark",
    [
        Direction(Q(0), 1, "metronome", beat_unit=Q(1)),
        Direction(Q(0), 1, "metronome", per_minute=Q(60)),
    ],
)
def test_half_a_metronome_mark_is_refused(mark: Direction) -> None:
    with pytest.raises(ValueError, match="needs beat_unit and per_minute"):
        musicxml(sheet(replace(bar("C4:2"), directions=(mark,))))


def test_signs_between_notes_are_moved_and_clefs_are_not() -> None:
    words = Direction(Q(1), 1, "words", "dolce")
    root = written(sheet(replace(bar("C4:2"), directions=(words,))))
    assert root.findtext(".//direction/offset") == "1"
    exact = written(sheet(replace(bar("C4:4 D4:4"), directions=(words,))))
    assert exact.find(".//direction/offset") is None
    clef = replace(bar("C4:2"), clefs=(ClefChange(Q(1), 1, BASS),))
    moved = written(sheet(clef))
    assert moved.find(".//attributes/offset") is None


def test_wedges_pedals_and_octave_lines_name_their_staff() -> None:
    def span(kind: str, staff: int) -> Span:
        return Span(kind, Moment(0, Q(0)), Moment(0, Q(1)), staff=staff)

    two = bar("C5:4 D5:4", "C3:4 D3:4")
    spans = (span("crescendo", 1), span("pedal", 2), span("octave-up", 1), span("diminuendo", 2))
    root = written(sheet(two, staves=(1, 2), spans=spans))
    staff = {
        sign.tag + str(sign.get("type")): direction.findtext("staff")
        for direction in root.iter("direction")
        for sign in direction.findall("direction-type/*")
        if sign.get("type") != "stop"
    }
    assert staff == {
        "wedgecrescendo": "1", "pedalstart": "2", "octave-shiftdown": "1", "wedgediminuendo": "2",
    }  # fmt: skip
    alone = written(sheet(bar("C5:4 D5:4"), spans=(span("crescendo", 1),)))
    assert alone.find(".//direction/staff") is None


def test_spans_that_are_open_at_once_count_from_one() -> None:
    """MusicXML 4.0, number-level: to tell apart what is open at one time."""

    def slur(start: int, end: int) -> Span:
        return Span("slur", Moment(0, Q(start)), Moment(0, Q(end)))

    spans = (slur(0, 3), slur(1, 2), slur(3, 4))
    root = written(sheet(bar("C4:4 D4:4 E4:4 F4:4 G4:4", meter="5/4"), spans=spans))
    numbers = [
        (sign.get("number"), sign.get("type"))
        for note in root.iter("note")
        for sign in note.iter("slur")
    ]
    pairs = [(number, type_) for number in ("1", "2", "2") for type_ in ("start", "stop")]
    assert sorted(numbers) == sorted(pairs)


def test_signs_are_written_with_a_voice_of_their_staff() -> None:
    """The lower staff's dynamic comes after the backup, among the lower staff's notes."""
    low = Direction(Q(1), 2, "dynamic", "p", "below")
    root = written(sheet(replace(bar("C5:4 D5:4", "C3:4 D3:4"), directions=(low,)), staves=(1, 2)))
    assert tags(root, ".//measure/*") == [
        "attributes", "note", "note", "backup", "note", "direction", "note",
    ]  # fmt: skip


def test_gaps_are_as_long_as_they_are() -> None:
    first, second = events("C4:4 E4:4")
    line = (first, replace(second, offset=Q(3)))
    root = written(sheet(replace(bar(line, meter="5/4"), length=Q(5))))
    assert [move.findtext("duration") for move in root.iter("forward")] == ["2", "1"]
    both = written(sheet(bar("C5:2", (replace(events("C3:4", 5)[0], offset=Q(1)),)), staves=(1, 2)))
    assert [move.findtext("staff") for move in both.iter("forward")] == ["2"]
    assert [move.findtext("staff") for move in both.iter("backup")] == [None]


def test_a_chord_that_two_hands_share_is_on_one_stem() -> None:
    """Its second part goes by the stem of the first, whatever stands between them in the bar."""
    (upper,) = events("G4:4t")
    lower = replace(events("C4:4t")[0], hand=Hand.LEFT, joined=True)
    rest = events("C4:4t D5:8t")[1:]
    made = bar((*events("C5:4", 2), upper, lower, *rest))
    notes = [note for note in written(sheet(made)).iter("note") if note.findtext("voice") == "1"]
    assert [note.findtext("pitch/step") for note in notes] == ["G", "C", "D"]
    assert [note.find("chord") is not None for note in notes] == [False, True, False]
    assert [note.findtext("stem") for note in notes] == ["up", "up", "up"]
    kinds = [note.findtext("time-modification/normal-type") for note in notes]
    assert kinds == ["eighth", "eighth", None]
