"""What a cut does at its edges, sign by sign, on sheets of a few notes written by hand."""

from dataclasses import replace
from fractions import Fraction

import pytest

from engrave.music.sheet import Bar, Ending, Event, Moment, Span
from engrave.score.cutting.beams import mended
from engrave.score.cutting.edges import clipped
from engrave.score.cutting.repeats import without_torn_repeats
from engrave.score.cutting.trim import trimmed
from engrave.score.cutting.tuplets import nearest_beat, tears_tuplet
from tests.sheets import bar, events, sheet

Q = Fraction


def signed() -> Event:
    """A half note with everything that a note can carry."""
    (plain,) = events("C5:2!accent")
    return replace(
        plain,
        ornaments=("trill-mark",),
        tremolo="3",
        trill_line="start",
        arpeggio=True,
        fermata=True,
    )


def test_signs_stay_where_the_note_begins_and_the_fermata_where_it_ends() -> None:
    (first,) = trimmed(signed(), bar("C5:2"), Q(0), Q(1))
    assert first.articulations == ("accent",)
    assert (first.ornaments, first.tremolo, first.trill_line) == (("trill-mark",), "3", "start")
    assert (first.arpeggio, first.fermata) == (True, True)
    (rest,) = trimmed(signed(), bar("C5:2"), Q(1), Q(2))
    assert (rest.articulations, rest.ornaments) == ((), ())
    assert (rest.tremolo, rest.trill_line) == (None, None)
    assert (rest.arpeggio, rest.fermata) == (False, True)


def test_pieces_of_one_note_are_tied_and_fingered_once() -> None:
    (long,) = events("C5:1=3")
    first, second = trimmed(long, bar("C5:1", meter="4/4"), Q(0), Q(5, 2))
    assert [(e.offset, e.length) for e in (first, second)] == [(0, 2), (2, Q(1, 2))]
    assert (first.tones[0].tie_in, first.tones[0].tie_out) == (False, True)
    assert (second.tones[0].tie_in, second.tones[0].tie_out) == (True, False)
    assert first.tones[0].finger
    assert second.tones[0].finger is None


@pytest.mark.parametrize(
    ("low", "high", "stays"),
    [(0, 1, True), (0, Q(1, 2), True), (1, 2, False), (Q(1, 2), 1, False)],
)
def test_a_grace_note_goes_with_its_moment(low: Q, high: Q, stays: bool) -> None:
    grace, *_ = events("/B4:8 C5:4 D5:4")
    assert bool(list(trimmed(grace, bar("C5:4 D5:4"), Q(low), Q(high)))) is stays


def beamed(text: str) -> list[Event]:
    """``b`` begin, ``c`` continue, ``e`` end, ``f`` and ``k`` hooks; a word a note, outer first."""
    names = {"b": "begin", "c": "continue", "e": "end", "f": "forward hook", "k": "backward hook"}
    plain = events(" ".join(["C5:16"] * len(text.split())))
    return [
        replace(event, beams=tuple(names[sign] for sign in word if sign != "."))
        for event, word in zip(plain, text.split(), strict=True)
    ]


@pytest.mark.parametrize(
    ("torn", "whole"),
    [
        ("bb cc cc ee", "bb cc cc ee"),
        ("cc cc ee", "bb cc ee"),  # the first is gone
        ("bb cc cc", "bb cc ee"),  # the last is gone
        ("ee", "."),  # one alone has none
        ("bb", "."),
        ("b cb ee", "b cb ee"),
        ("cb ee", "bb ee"),
        ("b cb", "b ek"),  # an inner beam of one note is a hook, towards the others
        ("be e", "bf e"),
        ("bf e", "bf e"),
        ("b ek", "b ek"),
        ("ee bb ee", ". bb ee"),
        (". bb ee", ". bb ee"),
    ],
)
def test_torn_beams_are_closed(torn: str, whole: str) -> None:
    assert [event.beams for event in mended(beamed(torn))] == [e.beams for e in beamed(whole)]


def test_notes_whose_beams_nobody_knows_stay_so() -> None:
    plain = list(events("C5:16 D5:16"))
    assert mended(plain) == plain


def bars(text: str) -> list[Bar]:
    """A word a bar: ``|:`` and ``:|`` repeats; ``[1`` opens an ending, ``=1`` goes on with it,
    ``]1`` closes it, ``)1`` without a hook."""
    types = {"[": "start", "=": "continue", "]": "stop", ")": "discontinue"}
    found = []
    for word in text.split():
        number = next((sign for sign in word if sign.isdigit()), "1")
        kind = "start-stop" if "[" in word and "]" in word else ""
        kind = kind or next((types[sign] for sign in word if sign in types), "")
        found.append(
            bar(
                "C5:2",
                repeat_start="|:" in word,
                repeat_end=":|" in word,
                ending=Ending(number, kind) if kind else None,
            )
        )
    return found


def shown(cut: tuple[Bar, ...]) -> str:
    return " ".join(
        ("|:" if each.repeat_start else "")
        + (f"{each.ending.type}{each.ending.number}" if each.ending else "")
        + (":|" if each.repeat_end else "")
        or "."
        for each in cut
    )


@pytest.mark.parametrize(
    ("text", "opens", "kept"),
    [
        ("|: . :|", False, "|: . :|"),
        (". . :|", False, ". . ."),  # its beginning lies before
        (". . :|", True, ". . :|"),  # a movement's beginning needs no sign
        ("|: . .", False, ". . ."),
        (". :| . :|", True, ". :| . :|"),
        (". :| . :|", False, ". . . ."),
        ("|: :| . :|", False, "|: :| . :|"),  # after a repeat the next one needs none
        ("|: . [1]:| [2]", False, "|: . start-stop1:| start-stop2"),
        (". . [1]:| [2]", False, ". . . ."),  # endings of a repeat that is gone
        ("|: [1 =1 ]1:| [2]", False, "|: start1 continue1 stop1:| start-stop2"),
        ("|: [1]:| [2", False, "|: start-stop1:| start-stop2"),  # the cut's end leaves it open
        ("|: [1]:| [2 =2", False, "|: start-stop1:| start2 discontinue2"),
        ("|: [1]:| [2 )2 .", False, "|: start-stop1:| start2 discontinue2 ."),
        ("[2 ]2 .", False, ". . ."),
        ("|: [1]:| [2]:| . :|", False, "|: start-stop1:| start-stop2:| . :|"),
    ],
)
def test_repeats_that_lost_their_other_half_are_dropped(text: str, opens: bool, kept: str) -> None:
    assert shown(without_torn_repeats(bars(text), opens)) == kept


Place = tuple[int, str]


@pytest.mark.parametrize(
    ("kind", "start", "end", "kept"),
    [
        ("slur", (1, "0"), (1, "3"), [(0, 0, 0, 3)]),
        ("slur", (0, "2"), (1, "1"), [(0, 0, 0, 1)]),
        ("slur", (0, "2"), (1, "0"), []),  # one note of it
        ("slur", (1, "2"), (2, "0"), [(0, 2, 0, 3)]),
        ("slur", (1, "3"), (2, "0"), []),
        ("slur", (0, "2"), (2, "2"), [(0, 0, 0, 3)]),
        ("slur", (0, "0"), (0, "3"), []),
        ("slur", (2, "0"), (2, "3"), []),
        ("crescendo", (0, "2"), (1, "2"), [(0, 0, 0, 2)]),
        ("crescendo", (0, "2"), (1, "1"), []),  # a wedge over one note
        ("crescendo", (0, "2"), (1, "0"), []),
        ("crescendo", (1, "0"), (1, "1"), [(0, 0, 0, 1)]),  # as the source has it
        ("crescendo", (1, "3"), (1, "4"), [(0, 3, 0, 4)]),  # ends with the cut
        ("crescendo", (1, "3"), (2, "1"), []),
        ("octave-up", (0, "2"), (1, "1"), [(0, 0, 0, 1)]),
        ("pedal", (1, "3"), (2, "1"), [(0, 3, 0, 4)]),
    ],
)
def test_spans_are_closed_at_the_edges(
    kind: str, start: Place, end: Place, kept: list[tuple[int, Q, int, Q]]
) -> None:
    """The second of bars of four quarters is cut out."""
    four = bar("C5:4 D5:4 E5:4 F5:4", meter="4/4")
    whole = Span(kind, Moment(start[0], Q(start[1])), Moment(end[0], Q(end[1])))
    found = clipped((whole,), [four], Moment(1, Q(0)), Moment(1, Q(4)))
    assert [(s.start.bar, s.start.offset, s.end.bar, s.end.offset) for s in found] == kept


def test_a_slur_that_leaves_ends_in_the_voice_that_goes_on() -> None:
    """Its end lies in voice 2, which has nothing here after its start: then in its own voice."""
    slur = Span("slur", Moment(0, Q(1)), Moment(1, Q(0)), voice=1, end_voice=2)
    upper = events("C5:4 D5:4 E5:4 F5:4")
    for lower, end, voice in (("G4:4", 3, 1), ("G4:4 r:4 A4:4", 2, 2), ("G4:4 A4:4", 1, 2)):
        music = bar(upper + events(lower, 2), meter="4/4")
        found = clipped((slur,), [music], Moment(0, Q(0)), Moment(0, Q(4)))
        if lower == "G4:4 A4:4":
            assert found == ()  # from a note to itself
            continue
        assert [(s.end, s.end_voice) for s in found] == [(Moment(0, Q(end)), voice)]


def test_a_slur_from_a_grace_note_to_the_first_note_of_a_cut_stays() -> None:
    music = bar("/B4:8 C5:4 D5:4 E5:4 F5:4", meter="4/4")
    slur = Span("slur", Moment(1, Q(0)), Moment(1, Q(0)), from_grace=True)
    (found,) = clipped((slur,), [music], Moment(1, Q(0)), Moment(1, Q(4)))
    assert (found.start, found.end, found.from_grace) == (Moment(0, Q(0)),) * 2 + (True,)


def test_a_slur_that_enters_begins_at_the_first_note_after_a_rest() -> None:
    music = bar("r:4 D5:4 E5:4 F5:4", meter="4/4")
    slur = Span("slur", Moment(0, Q(2)), Moment(1, Q(3)))
    (found,) = clipped((slur,), [music], Moment(1, Q(0)), Moment(1, Q(4)))
    assert (found.start, found.end) == (Moment(0, Q(1)), Moment(0, Q(3)))


def test_where_a_tuplet_is_torn_and_the_nearest_beat_that_works() -> None:
    plain, triplets = bar("C5:4 D5:4"), bar("C5:4t D5:4t E5:4t")
    music = sheet(plain, plain, triplets, plain, plain)
    assert tears_tuplet(triplets, Q(1))
    assert not tears_tuplet(triplets, Q(0))
    assert not tears_tuplet(bar("C5:8t D5:8t E5:8t F5:8t G5:8t A5:8t"), Q(1))
    assert nearest_beat(music, Moment(2, Q(1))) == Moment(2, Q(0))
    assert nearest_beat(music, Moment(2, Q(1)), ends=True) == Moment(3, Q(0))
    assert nearest_beat(music, Moment(4, Q(0))) == Moment(4, Q(0))
    assert nearest_beat(sheet(triplets), Moment(0, Q(1)), ends=True) == Moment(0, Q(2))


def test_between_two_triplets_that_begin_off_the_beat_nothing_is_torn() -> None:
    music = bar("C5:16 C5:8t D5:8t E5:8t F5:8t G5:8t A5:8t C5:16 C5:8", meter="3/4")
    assert not tears_tuplet(music, Q(5, 4))
    assert tears_tuplet(music, Q(1))
