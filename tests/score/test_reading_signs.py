"""What is printed at and between the notes survives the reading."""

from fractions import Fraction
from pathlib import Path

import pytest

from engrave.music.notes import Finger, FingerOrigin, Hand, Tuplet
from engrave.music.sheet import BASS, TREBLE, Clef, Ending, Event, Moment
from engrave.score import Score, read_score, tempo_at
from tests.score.build import back, direction, document, grace, head, measure, note, piano

FOUR = (note("C4"), note("D4"), note("E4"), note("F4"))
REST = note("r", 4, voice=5, staff=2)


def played(score: Score, bar: int = 0) -> list[Event]:
    return [event for event in score.sheet.bars[bar].events if event.tones]


def test_a_voice_that_crosses_staves_is_one_line_and_each_note_its_staffs(tmp_path: Path) -> None:
    score = piano(
        tmp_path,
        measure(
            1,
            *(note(p, voice=1, staff=s) for p, s in (("G4", 1), ("E4", 1), ("C4", 2), ("A3", 2))),
            back(4),
            *(note(p, voice=5, staff=2) for p in ("C3", "G3", "E3")),
            note("C5", voice=5, staff=1),
            head=head(),
        ),
        measure(2, *FOUR, back(4), REST),
        measure(3, note("A3", 4, voice=1, staff=2), back(4), note("A2", 4, voice=5, staff=2)),
    )
    first = {e.tones[0].pitch.spelling: (e.hand, e.staff, e.voice) for e in played(score)}
    assert first["C4"] == first["A3"] == (Hand.LEFT, 2, 1)
    assert first["C5"] == (Hand.RIGHT, 1, 5)
    assert [event.hand for event in played(score, 2)] == [Hand.LEFT, Hand.LEFT]


def test_voices_counted_anew_on_each_staff_are_told_apart(tmp_path: Path) -> None:
    score = piano(
        tmp_path,
        measure(
            1,
            *FOUR,
            back(4),
            *(note(p, voice=1, staff=2) for p in ("C3", "D3", "E3", "F3")),
            head=head(),
        ),
    )
    hands = {event.tones[0].pitch.octave: (event.hand, event.voice) for event in played(score)}
    assert hands == {4: (Hand.RIGHT, 1), 3: (Hand.LEFT, 5)}


def fingering(*numbers: int | str) -> str:
    return "<technical>" + "".join(f"<fingering>{n}</fingering>" for n in numbers) + "</technical>"


def test_fingers_go_to_their_own_tones(tmp_path: Path) -> None:
    score = piano(
        tmp_path,
        measure(
            1,
            note("G4", notations=fingering(5)),
            note("C4", chord=True, notations=fingering(1)),
            note("E4", chord=True),
            note("C4", notations=fingering(3, 1, 5)),
            note("E4", chord=True),
            note("G4", chord=True),
            note("C4", notations=fingering("4-5")),
            note("D4"),
            back(4),
            note("C3", notations=fingering(1, 5, 3), voice=5, staff=2),
            note("E3", chord=True, voice=5, staff=2),
            note("G3", chord=True, voice=5, staff=2),
            note("r", 3, voice=5, staff=2),
            head=head(),
        ),
    )
    columns = [
        [tone.finger.number if tone.finger else None for tone in event.tones]
        for event in played(score)
    ]
    assert columns == [[1, None, 5], [5, 3, 1], [1, 3, 5], [4], [None]]
    assert played(score)[0].tones[0].finger == Finger(1, FingerOrigin.SCORE)


def test_signs_at_a_note(tmp_path: Path) -> None:
    marks = (
        "<articulations><staccato/><strong-accent/></articulations>"
        "<ornaments><delayed-turn/><tremolo>2</tremolo></ornaments><fermata/><arpeggiate/>"
    )
    bar = measure(
        1, note("C4", 4, notations=marks), note("E4", 4, chord=True), back(4), REST, head=head()
    )
    (event,) = played(piano(tmp_path, bar))
    assert event.articulations == ("staccato", "strong-accent")
    assert (event.ornaments, event.tremolo) == (("delayed-turn",), "2")
    assert event.fermata
    assert event.arpeggio


def test_beams_stems_ties_and_spelling_are_the_source_s(tmp_path: Path) -> None:
    eighths = [
        note(p, "1/2", beam=f'<stem>up</stem><beam number="1">{b}</beam>', tie=t)
        for p, b, t in (("F#4", "begin", ""), ("Gb4", "continue", ""), ("E#4", "end", "start"))
    ]
    score = piano(
        tmp_path,
        measure(1, *eighths, note("E#4", "5/2", tie="stop"), back(4), REST, head=head()),
    )
    events = played(score)
    assert [e.beams for e in events[:3]] == [("begin",), ("continue",), ("end",)]
    assert [e.stem for e in events[:2]] == ["up", "up"]
    assert [e.tones[0].pitch.spelling for e in events[:3]] == ["F#4", "Gb4", "E#4"]
    assert [e.tones[0].tie_out for e in events] == [False, False, True, True, False]
    assert [e.tones[0].tie_in for e in events] == [False, False, False, True, True]
    # a length that no value prints is two notes, tied: MusicXML allows it without a type
    assert [e.length for e in events[3:]] == [2, Fraction(1, 2)]


def test_tuplets_are_exact_although_ticks_are_not(tmp_path: Path) -> None:
    # 120 ticks a quarter hold no seventh: exporters round, the printed value does not
    ticks = (17, 17, 17, 17, 17, 17, 18)
    sevens = "".join(_seventh(count) for count in ticks)
    score = piano(tmp_path, measure(1, sevens, note("D5", 3), back(4), REST, head=head()))
    events = played(score)
    assert [e.offset for e in events] == [*(Fraction(i, 7) for i in range(7)), 1]
    assert events[0].value.tuplet == Tuplet(7, 4)


def _seventh(ticks: int) -> str:
    return (
        "<note><pitch><step>C</step><octave>5</octave></pitch>"
        f"<duration>{ticks}</duration><voice>1</voice><type>16th</type><time-modification>"
        "<actual-notes>7</actual-notes><normal-notes>4</normal-notes></time-modification>"
        "<staff>1</staff></note>"
    )


def slur(kind: str, number: int = 1) -> str:
    return f'<slur type="{kind}" number="{number}"/>'


def test_slurs_from_grace_notes_and_between_staves(tmp_path: Path) -> None:
    score = piano(
        tmp_path,
        measure(
            1,
            grace("B4", notations=slur("start")),
            note("C5", notations=slur("stop") + slur("start", 2)),
            note("D5", 2),
            note("E5", notations=slur("stop", 3) + slur("stop", 2)),
            back(4),
            note("C3", notations=slur("start", 3), voice=5, staff=2),
            note("D3", 3, voice=5, staff=2),
            head=head(),
        ),
    )
    # the first runs from the grace note to its own main note, the last from hand to hand
    spans = [
        (s.start.offset, s.end.offset, s.voice, s.end_voice, s.from_grace)
        for s in score.sheet.spans
    ]
    assert sorted(spans) == [(0, 0, 1, 1, True), (0, 3, 1, 1, False), (0, 3, 5, 1, False)]


def test_wedges_pedals_and_octave_lines_reach_where_they_are_written(tmp_path: Path) -> None:
    score = piano(
        tmp_path,
        measure(
            1,
            direction('<wedge type="crescendo" number="1"/>', placement="below"),
            note("C4", 2),
            direction('<wedge type="stop" number="1"/>'),
            direction('<octave-shift type="down" size="8" number="1"/>'),
            note("D6", 2),
            back(4),
            direction('<pedal type="start"/>', staff=2),
            note("C3", 2, voice=5, staff=2),
            direction('<pedal type="change"/>', staff=2),
            note("D3", 2, voice=5, staff=2),
            head=head(),
        ),
        measure(
            2,
            note("E6", 4),
            direction('<octave-shift type="stop" size="8" number="1"/>'),
            back(4),
            note("C3", 4, voice=5, staff=2),
            direction('<pedal type="stop"/>', staff=2),
        ),
    )
    found = {(s.kind, s.start, s.end, s.staff) for s in score.sheet.spans}
    half, start, end = Moment(0, Fraction(2)), Moment(0, Fraction(0)), Moment(1, Fraction(4))
    assert found == {
        ("crescendo", start, half, 1),
        ("octave-up", half, end, 1),
        ("pedal", start, half, 2),
        ("pedal", half, end, 2),
    }
    # pitches stay as they sound (MusicXML 4.0, octave-shift: "down" is printed lower)
    upper = [event for bar in (0, 1) for event in played(score, bar) if event.staff == 1]
    assert [event.tones[0].pitch.spelling for event in upper] == ["C4", "D6", "E6"]
    assert score.notices == ()


def test_words_dynamics_and_metronome_marks(tmp_path: Path) -> None:
    mark = (
        "<metronome><beat-unit>quarter</beat-unit><beat-unit-dot/>"
        "<per-minute>{}</per-minute></metronome>"
    )
    hidden = mark.format(200).replace("<metronome>", '<metronome print-object="no">')
    score = piano(
        tmp_path,
        measure(
            1,
            direction(mark.format(63.5)),
            direction('<words font-style="italic">dolce</words>', placement="below"),
            direction("<dynamics><mf/></dynamics>", placement="below"),
            direction("<dynamics><other-dynamics>poco f</other-dynamics></dynamics>"),
            *FOUR[:2],
            direction(hidden),
            '<direction><sound tempo="300"/><direction-type><words/></direction-type></direction>',
            *FOUR[2:],
            back(4),
            REST,
            head=head(),
        ),
    )
    words = [(d.kind, d.text, d.offset, d.italic) for d in score.sheet.bars[0].directions]
    assert words == [
        ("metronome", "", 0, False),
        ("words", "dolce", 0, True),
        ("dynamic", "mf", 0, False),
        ("words", "poco f", 0, True),
    ]
    mark_in_force = tempo_at(score, Moment(0, Fraction(3)))
    assert mark_in_force is not None
    assert (mark_in_force.beat, mark_in_force.per_minute) == (Fraction(3, 2), Fraction(127, 2))
    assert [mark.origin for mark in score.tempos] == ["mark", "playback"]


def test_clefs_change_inside_a_bar_and_at_its_end(tmp_path: Path) -> None:
    def change(sign: str, line: int) -> str:
        clef = f'<clef number="2"><sign>{sign}</sign><line>{line}</line></clef>'
        return f"<attributes>{clef}</attributes>"

    low = [note(p, voice=5, staff=2) for p in ("C3", "D3", "C5", "D5")]
    score = piano(
        tmp_path,
        measure(1, *FOUR, back(4), *low[:2], change("G", 2), *low[2:], change("C", 4), head=head()),
        measure(2, *FOUR, back(4), REST),
    )
    changes = [[(c.offset, c.staff, c.clef) for c in bar.clefs] for bar in score.sheet.bars]
    assert changes == [[(0, 1, TREBLE), (0, 2, BASS), (2, 2, TREBLE)], [(0, 2, Clef("C", 4))]]


@pytest.mark.parametrize(("said", "shown"), [("", True), (' print-object="no"', False)])
def test_a_meter_that_is_not_printed(tmp_path: Path, said: str, shown: bool) -> None:
    attributes = head("3/4").replace("<time>", f"<time{said}>")
    body = (note("C4", 3), back(3), note("C3", 3, voice=5, staff=2))
    score = piano(tmp_path, measure(1, *body, head=attributes), measure(2, *body))
    assert [(str(b.meter), b.meter_shown) for b in score.sheet.bars] == [("3/4", shown)] * 2


def test_repeats_endings_and_bar_styles(tmp_path: Path) -> None:
    def line(location: str, inner: str) -> str:
        return f'<barline location="{location}">{inner}</barline>'

    def bracket(number: int, kind: str) -> str:
        return f'<ending number="{number}" type="{kind}"/>'

    forward, backward = '<repeat direction="forward"/>', '<repeat direction="backward"/>'
    body = (*FOUR, back(4), REST)
    score = piano(
        tmp_path,
        measure(1, line("left", forward), *body, head=head()),
        measure(2, line("left", bracket(1, "start")), *body),
        measure(3, *body),
        measure(4, *body, line("right", bracket(1, "stop") + backward)),
        measure(
            5,
            line("left", bracket(2, "start")),
            *body,
            line("right", "<bar-style>light-light</bar-style>" + bracket(2, "discontinue")),
        ),
    )
    bars = score.sheet.bars
    assert [bar.repeat_start for bar in bars] == [True, False, False, False, False]
    assert [bar.repeat_end for bar in bars] == [False, False, False, True, False]
    assert [bar.ending for bar in bars] == [
        None,
        Ending("1", "start"),
        Ending("1", "inside"),
        Ending("1", "stop"),
        Ending("2", "start-stop"),
    ]
    assert [bar.barline for bar in bars] == [None, None, None, None, "light-light"]


@pytest.mark.parametrize("named", [True, False])
def test_a_rest_for_the_whole_bar(tmp_path: Path, named: bool) -> None:
    kind = "<type>whole</type>" if named else ""
    rest = (
        f'<note><rest measure="yes"/><duration>360</duration><voice>5</voice>{kind}'
        "<staff>2</staff></note>"
    )
    score = piano(tmp_path, measure(1, *FOUR[:3], back(3), rest, head=head("3/4")))
    (found,) = [event for event in score.sheet.bars[0].events if event.is_rest]
    assert found.whole_bar
    assert found.length == 3


def test_signs_that_are_not_read_are_said_to_be_lost(tmp_path: Path) -> None:
    slide = note("C4", 4, notations='<glissando type="start"/>')
    dashes = direction('<dashes type="start"/>')
    score = piano(tmp_path, measure(1, dashes, slide, back(4), REST, head=head()))
    assert [notice.message for notice in score.notices] == [
        "not read: brackets and dashed lines (1), in measure 1",
        "not read: glissandi (1), in measure 1",
    ]


def test_what_was_not_read_is_told_with_its_measures(tmp_path: Path) -> None:
    dashes = direction('<dashes type="start"/>')
    bars = [measure(1, note("C4", 4), back(4), REST, head=head())]
    bars += [measure(n, dashes * (n % 2), note("C4", 4), back(4), REST) for n in range(2, 18)]
    score = piano(tmp_path, *bars)
    assert [notice.message for notice in score.notices] == [
        "not read: brackets and dashed lines (8), in measures 3, 5, 7, 9, 11, 13, …"
    ]


def test_marks_of_tempo_above_the_singer_are_the_piano_s_too(tmp_path: Path) -> None:
    mark = "<metronome><beat-unit>half</beat-unit><per-minute>50</per-minute></metronome>"
    single = head().replace("<staves>2</staves>", "").replace('number="2"', 'number="1"')
    voice = measure(1, direction(mark), direction("<words>tenderly</words>"), *FOUR, head=single)
    path = tmp_path / "song.musicxml"
    body = measure(1, *FOUR, back(4), REST, head=head())
    path.write_text(document(("Voice", voice), ("Piano", body)), "utf-8")
    score = read_score(path)
    assert (score.part, score.parts) == ("Piano", ("Voice", "Piano"))
    assert [word.kind for word in score.sheet.bars[0].directions] == ["metronome"]


def _words(text: str) -> str:
    kind = f"<direction-type><words>{text}</words></direction-type>"
    return f"<direction>{kind}<staff>1</staff></direction>"


def test_titles_and_rights_are_not_printed_over_the_music(tmp_path: Path) -> None:
    body = (_words("Hedge Song"), _words("© 1911"), _words("dolce"), note("C5", 4))
    text = document(("Piano", measure(1, *body, head=head())))
    credit = "<credit><credit-words>Hedge Song</credit-words></credit><part-list>"
    path = tmp_path / "piece.musicxml"
    path.write_text(text.replace("<part-list>", credit, 1), "utf-8")
    score = read_score(path)
    assert [word.text for word in score.sheet.bars[0].directions] == ["dolce"]
    assert "not read: titles and texts of the page (2), in measure 1" in [
        n.message for n in score.notices
    ]


@pytest.mark.parametrize(
    ("second", "fingers", "left"), [("4", [1, 4], []), ("1", [None, None], ["1", "1"])]
)
def test_fingers_stored_as_words_are_fingers(
    tmp_path: Path, second: str, fingers: list[int | None], left: list[str]
) -> None:
    """Numbers that are all the same count something else."""
    body = (_words("1"), note("C5", 2), _words(second), note("E5", 2))
    path = tmp_path / "piece.musicxml"
    path.write_text(document(("Piano", measure(1, *body, head=head()))), "utf-8")
    (bar,) = read_score(path).sheet.bars
    found = [event.tones[0].finger for event in bar.events if event.tones]
    assert [finger and finger.number for finger in found] == fingers
    assert [word.text for word in bar.directions] == left
