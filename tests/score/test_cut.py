"""What a cut does at its edges."""

from fractions import Fraction
from pathlib import Path

import pytest

from engrave.errors import EngraveError
from engrave.music.ranges import parse_range
from engrave.music.sheet import BASS, TREBLE, Event, Moment, Sheet
from engrave.score import Score, cut, locate
from tests.score.build import back, direction, grace, head, measure, note, piano

REST = (back(4), note("r", 4, voice=5, staff=2))
FOUR = (note("C4"), note("D4"), note("E4"), note("F4"), *REST)


def cut_out(score: Score, text: str) -> Sheet:
    return cut(score, *locate(score, parse_range(text)))


def right(sheet: Sheet, bar: int = 0) -> list[Event]:
    return [event for event in sheet.bars[bar].events if event.voice == 1]


def printed(sheet: Sheet, bar: int = 0) -> list[tuple[str, Fraction, Fraction]]:
    return [
        (event.tones[0].pitch.spelling if event.tones else "r", event.offset, event.length)
        for event in right(sheet, bar)
    ]


def test_ties_lead_nowhere_at_the_edges(tmp_path: Path) -> None:
    tied = (
        note("C4", 3),
        note("D4", tie="start"),
        *REST,
    )
    held = (note("D4", 4, tie="stop start"), *REST)
    ends = (note("D4", tie="stop"), note("E4", 3), *REST)
    score = piano(tmp_path, measure(1, *tied, head=head()), measure(2, *held), measure(3, *ends))
    sheet = cut_out(score, "2-3")
    first, second = right(sheet)[0].tones[0], right(sheet, 1)[0].tones[0]
    assert (first.tie_in, first.tie_out, second.tie_in) == (False, True, True)
    (alone,) = right(cut_out(score, "2"))
    assert (alone.tones[0].tie_in, alone.tones[0].tie_out) == (False, False)


def test_a_note_across_an_edge_becomes_what_sounds_inside(tmp_path: Path) -> None:
    accent = "<articulations><accent/></articulations>"
    score = piano(
        tmp_path, measure(1, note("C4", 3, notations=accent), note("D4"), *REST, head=head())
    )
    inside = cut_out(score, "1.2-1.4")
    assert printed(inside) == [("C4", 0, 2), ("D4", 2, 1)]
    assert right(inside)[0].articulations == ()
    assert right(cut_out(score, "1.1-1.2"))[0].articulations == ("accent",)
    assert printed(cut_out(score, "1.2-1.2")) == [("C4", 0, 1)]
    (rest,) = [event for event in inside.bars[0].events if event.voice == 5]
    assert (rest.whole_bar, rest.length) == (True, 3)


def test_a_length_that_one_value_cannot_print_is_tied(tmp_path: Path) -> None:
    score = piano(
        tmp_path,
        measure(1, note("C4", "1/2"), note("D4", "7/2"), *REST, head=head()),
    )
    pieces = right(cut_out(score, "1.1-1.3"))
    assert [(e.offset, e.length) for e in pieces] == [
        (0, Fraction(1, 2)),
        (Fraction(1, 2), Fraction(1, 2)),
        (1, 2),
    ]
    assert [e.tones[0].tie_out for e in pieces] == [False, True, False]


def test_edge_bars_that_are_shortened_are_implicit(tmp_path: Path) -> None:
    score = piano(tmp_path, measure(1, *FOUR, head=head()), measure(2, *FOUR), measure(3, *FOUR))
    sheet = cut_out(score, "1.4-3.1")
    assert [(bar.name, bar.length, bar.implicit) for bar in sheet.bars] == [
        ("1", 1, True),
        ("2", 4, False),
        ("3", 1, True),
    ]
    assert printed(sheet) == [("F4", 0, 1)]
    assert printed(sheet, 2) == [("C4", 0, 1)]


def slurred(kind: str, number: int = 1) -> str:
    return f'<slur type="{kind}" number="{number}"/>'


def test_slurs_are_closed_at_the_edges(tmp_path: Path) -> None:
    score = piano(
        tmp_path,
        measure(1, note("C4", notations=slurred("start")), *FOUR[1:], head=head()),
        measure(2, *FOUR),
        measure(3, note("C4"), note("D4", notations=slurred("stop")), note("E4", 2), *REST),
    )
    ends = [
        (
            text,
            [
                (s.start.bar, s.start.offset, s.end.bar, s.end.offset)
                for s in cut_out(score, text).spans
            ],
        )
        for text in ("1-3", "1.3-3", "2", "1-3.1", "3", "3.2-3", "1.1")
    ]
    assert ends == [
        ("1-3", [(0, 0, 2, 1)]),
        ("1.3-3", [(0, 0, 2, 1)]),
        ("2", [(0, 0, 0, 3)]),
        ("1-3.1", [(0, 0, 2, 0)]),
        ("3", [(0, 0, 0, 1)]),
        ("3.2-3", []),  # one note of it would remain
        ("1.1", []),
    ]


def test_wedges_octave_lines_and_pedals_are_closed_at_the_edges(tmp_path: Path) -> None:
    opens = (
        direction('<wedge type="crescendo"/>'),
        direction('<octave-shift type="down" size="8"/>'),
        direction('<pedal type="start"/>', staff=2),
    )
    closes = (
        direction('<wedge type="stop"/>'),
        direction('<octave-shift type="stop" size="8"/>'),
    )
    low = (back(4), *(note("C3", voice=5, staff=2) for _ in range(4)))
    score = piano(
        tmp_path,
        measure(1, *opens, *FOUR[:4], *low, head=head()),
        measure(
            2, *FOUR[:2], *closes, *FOUR[2:4], *low, direction('<pedal type="stop"/>', staff=2)
        ),
    )

    def found(text: str) -> dict[str, tuple[int, Fraction, int, Fraction]]:
        return {
            s.kind: (s.start.bar, s.start.offset, s.end.bar, s.end.offset)
            for s in cut_out(score, text).spans
        }

    assert found("1.3-2.1") == {
        "crescendo": (0, 0, 1, 1),
        "octave-up": (0, 0, 1, 1),
        "pedal": (0, 0, 1, 1),
    }
    # one onset is enough for a line that changes how it is played, not for a wedge
    assert found("2.2-2.3") == {"octave-up": (0, 0, 0, 1), "pedal": (0, 0, 0, 2)}
    assert found("2.3-2.4") == {"pedal": (0, 0, 0, 2)}


TRIPLET = [note(p, "2/3", tuplet=(3, 2)) for p in ("C4", "D4", "E4")]
"""Three quarters in the time of two: no beat falls on a note of it."""


def test_a_tuplet_is_not_torn(tmp_path: Path) -> None:
    score = piano(
        tmp_path,
        measure(1, note("C4"), *TRIPLET, note("F4"), *REST, head=head()),
        measure(2, *FOUR),
    )
    with pytest.raises(EngraveError) as told:
        cut_out(score, "1.3-2")
    assert told.value.message == "a tuplet is torn when the passage begins with 1.3"
    assert told.value.hint == "the nearest that works: begin with 1.2"
    with pytest.raises(EngraveError) as told:
        cut_out(score, "1.1-1.2")
    assert told.value.message == "a tuplet is torn when the passage ends with 1.2"
    assert told.value.hint == "the nearest that works: end with 1.3"
    assert printed(cut_out(score, "1.2-1.3"))[0] == ("C4", 0, Fraction(2, 3))


def test_two_tuplets_side_by_side_may_be_parted(tmp_path: Path) -> None:
    eighths = [note(p, "1/3", tuplet=(3, 2)) for p in ("C4", "D4", "E4")]
    score = piano(tmp_path, measure(1, *eighths * 4, *REST, head=head()))
    assert len(right(cut_out(score, "1.2-1.3"))) == 6


def test_a_sextuplet_is_not_halved(tmp_path: Path) -> None:
    six = [note("C4", "1/3", tuplet=(6, 4)) for _ in range(6)]
    score = piano(tmp_path, measure(1, *six, note("E4", 2), *REST, head=head()))
    with pytest.raises(EngraveError, match=r"begins with 1\.2"):
        cut_out(score, "1.2-1.4")
    assert len(right(cut_out(score, "1.1-1.2"))) == 6


def test_the_head_carries_what_is_in_force(tmp_path: Path) -> None:
    mark = "<metronome><beat-unit>half</beat-unit><per-minute>44</per-minute></metronome>"
    treble = '<attributes><clef number="2"><sign>G</sign><line>2</line></clef></attributes>'
    low = [note(p, voice=5, staff=2) for p in ("C3", "D3", "C5", "D5")]
    score = piano(
        tmp_path,
        measure(
            1, direction(mark), *FOUR[:4], back(4), *low[:2], treble, *low[2:], head=head(fifths=-3)
        ),
        measure(2, *FOUR),
    )
    for text, clef in (("1.2-2", BASS), ("1.3-2", TREBLE), ("2", TREBLE)):
        first = cut_out(score, text).bars[0]
        assert [c.clef for c in first.clefs if c.offset == 0] == [TREBLE, clef]
        assert first.key.fifths == -3
        (word,) = first.directions
        assert (word.kind, word.offset, word.beat_unit, word.per_minute) == ("metronome", 0, 2, 44)
    # the change inside the cut stays where it is
    assert [(c.offset, c.staff) for c in cut_out(score, "1.2-2").bars[0].clefs] == [
        (0, 1),
        (0, 2),
        (1, 2),
    ]


def test_grace_notes_go_with_the_note_they_lead_to(tmp_path: Path) -> None:
    score = piano(
        tmp_path,
        measure(1, note("C4", 2), grace("E4"), note("D4", 2), grace("F4"), *REST, head=head()),
    )
    first, second = cut_out(score, "1.1-1.2"), cut_out(score, "1.3-1.4")
    assert [event.grace for event in right(first)] == [False]
    # one after the last note of the bar (a turn's end) stays with it
    assert [(event.grace, event.offset) for event in right(second)] == [
        (True, 0),
        (False, 0),
        (True, 2),
    ]


def beamed(pitch: str, *tags: str) -> str:
    length = Fraction(1, 2) if len(tags) == 1 else Fraction(1, 4)
    beam = "".join(f'<beam number="{n}">{tag}</beam>' for n, tag in enumerate(tags, 1))
    return note(pitch, str(length), beam=beam)


def test_beams_that_are_torn_are_mended(tmp_path: Path) -> None:
    score = piano(
        tmp_path,
        measure(
            1,
            beamed("C4", "begin"),
            beamed("D4", "continue", "begin"),
            beamed("E4", "continue", "end"),
            beamed("F4", "continue", "backward hook"),
            note("G4", "1/4"),
            beamed("C4", "end"),
            note("A4", 2),
            *REST,
            head=head(),
        ),
    )
    beams = [event.beams for event in right(cut_out(score, "1.1"))]
    assert beams == [("begin",), ("continue", "begin"), ("end", "end")]


def line(location: str, inner: str) -> str:
    return f'<barline location="{location}">{inner}</barline>'


def bracket(number: int, kind: str) -> str:
    return f'<ending number="{number}" type="{kind}"/>'


FORWARD, BACKWARD = '<repeat direction="forward"/>', '<repeat direction="backward"/>'


@pytest.mark.parametrize(
    ("text", "signs", "endings"),
    [
        ("1-5", ["", "(", "", ")", ""], [None, None, "start", "stop", "start-stop"]),
        ("2-4", ["(", "", ")"], [None, "start", "stop"]),
        ("3-4", ["", ""], [None, None]),
        ("2-3", ["", ""], [None, None]),
        ("5", [""], [None]),
        ("2.2-4", ["", "", ""], [None, None, None]),
    ],
)
def test_repeats_without_their_other_half_are_dropped(
    tmp_path: Path, text: str, signs: list[str], endings: list[str | None]
) -> None:
    score = piano(
        tmp_path,
        measure(1, *FOUR, head=head()),
        measure(2, line("left", FORWARD), *FOUR),
        measure(3, line("left", bracket(1, "start")), *FOUR),
        measure(4, *FOUR, line("right", bracket(1, "stop") + BACKWARD)),
        measure(5, line("left", bracket(2, "start")), *FOUR, line("right", bracket(2, "stop"))),
    )
    bars = cut_out(score, text).bars
    assert ["(" * bar.repeat_start + ")" * bar.repeat_end for bar in bars] == signs
    assert [bar.ending.type if bar.ending else None for bar in bars] == endings


def test_the_end_of_a_bar_is_the_start_of_the_next(tmp_path: Path) -> None:
    score = piano(tmp_path, measure(1, *FOUR, head=head()), measure(2, *FOUR), measure(3, *FOUR))
    late = cut(score, Moment(0, Fraction(4)), Moment(2, Fraction(0)))
    assert [bar.name for bar in late.bars] == ["2"]
    assert [bar.length for bar in late.bars] == [4]
    last = cut(score, Moment(1, Fraction(4)), Moment(3, Fraction(0)))
    assert [bar.name for bar in last.bars] == ["3"]
    with pytest.raises(EngraveError, match="holds no music"):
        cut(score, Moment(0, Fraction(4)), Moment(1, Fraction(0)))
    with pytest.raises(EngraveError, match="holds no music"):
        cut(score, Moment(2, Fraction(4)), Moment(2, Fraction(4)))


def beat_mark(per_minute: int) -> str:
    return direction(
        "<metronome><beat-unit>quarter</beat-unit>"
        f"<per-minute>{per_minute}</per-minute></metronome>"
    )


def test_the_tempo_in_force_is_printed_unless_it_stands_there(tmp_path: Path) -> None:
    score = piano(
        tmp_path,
        measure(1, beat_mark(60), *FOUR, head=head()),
        measure(2, FOUR[0], beat_mark(90), *FOUR[1:]),
        measure(3, *FOUR),
        measure(4, beat_mark(72), *FOUR),
        measure(5, FOUR[0], beat_mark(72), *FOUR[1:]),
    )

    def marks(text: str) -> list[tuple[Fraction, Fraction | None]]:
        signs = cut_out(score, text).bars[0].directions
        return [(sign.offset, sign.per_minute) for sign in signs if sign.kind == "metronome"]

    assert marks("1") == [(0, 60)]
    assert marks("2") == [(0, 60), (1, 90)]
    assert marks("3") == [(0, 90)]
    assert marks("4") == [(0, 72)]
    assert marks("5") == [(1, 72)]  # the same, told again on its second beat


def test_a_repeat_may_begin_without_a_sign_after_another(tmp_path: Path) -> None:
    ends = f'<barline location="right">{BACKWARD}</barline>'
    plain = [measure(n, *FOUR, ends * (n in (2, 4)), head=head() * (n == 1)) for n in range(1, 6)]
    score = piano(tmp_path, *plain)
    assert [bar.repeat_end for bar in cut_out(score, "1-2").bars] == [False, True]
    assert [bar.repeat_end for bar in cut_out(score, "3-4").bars] == [False, True]
    assert [bar.repeat_end for bar in cut_out(score, "4-5").bars] == [False, False]
