"""Pictures that have been looked at: what is hard to engrave, one sheet each."""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from engrave.music.notes import Hand
from engrave.music.sheet import BASS, TREBLE, ClefChange, Direction, Ending, Moment, Sheet, Span
from tests.sheets import bar, events, sheet

Q = Fraction


def long_short() -> Sheet:
    """The worked example of the rhythm drills, with fingers of both kinds."""
    return sheet(
        bar("G4:8.=1@41 A4:16=2 B4:8.=3 C5:16=1*", meter="2/4", key=1, name="1"),
        bar("D5:8.=2* E5:16=3* F#5:8.=4 G5:16=5", meter="2/4", key=1, name="2"),
        bar("A5:2=5@42", meter="2/4", key=1, name="3", barline="light-heavy"),
    )


def in_threes() -> Sheet:
    return sheet(
        bar("G4:8t=1!accent@41 A4:8t=2 B4:8t=3 C5:8t=1*!accent D5:8t=2* E5:8t=3*", key=1),
        bar("F#5:8=4 G5:8=5 A5:4=5@42", key=1, barline="light-heavy"),
    )


def in_fours() -> Sheet:
    return sheet(
        bar("G4:8.=1!accent@41 A4:16=2 B4:16=3 C5:16=1 D5:8.=2!accent E5:16=3 F#5:16=4 G5:16=5",
            meter="6/8", key=1),
        bar("A5:8.=5!accent@42 G5:16=4 F#5:16=3 E5:16=2 D5:4.=1", meter="6/8", key=1,
            barline="light-heavy"),
    )  # fmt: skip


def unbeamed_fingers() -> Sheet:
    """Flags and stems in the way of fingers, up and down."""
    return sheet(
        bar("G4:8=1 r:8 A4:16=2 r:16 r:8", meter="2/4"),
        bar("E5:8=3 r:8 F5:16=4 r:16 C4:8=1", meter="2/4"),
        bar("C4:4=1 E4:4=2", meter="2/4"),
        bar("C6:4=5 A5:4=3", meter="2/4"),
        bar("C4:8=1 E4:8=2 G4:8=3 C5:8=5", meter="2/4"),
        bar("C6:8=5 A5:8=3 F5:8=2 C5:8=1", meter="2/4"),
    )


def chords() -> Sheet:
    """Two to five fingers at a chord, stems both ways, seconds among them."""
    right = (
        "C4,E4,G4,B4,D5:4=1,2,3,4,5 C5,E5,G5,B5,D6:4=1*,2*,3*,4*,5*",
        "C4,D4,E4,G4,A4:4=1,2,3,4,5 B4,C5,E5:8=1,2,5 C5,E5:8=2,4",
        "C4,E4,G4,C5:8=1,2,3,5 C4,E4,G4,C5:8=1,2,3,5 F4,A4,C5:4=1,3,5",
    )
    left = (
        "C2,E2,G2,B2,D3:4=5,4,3,2,1 C3,E3,G3,B3,D4:4=5,4,3,2,1",
        "C3,G3:8=5,1 E3,C4:8=5,1 F2,G2,A2,B2,C3:4=5,4,3,2,1",
        "C3,E3,G3:2=5,3,1",
    )
    return sheet(*(bar(*both) for both in zip(right, left, strict=True)), staves=(1, 2))


def pickup() -> Sheet:
    return sheet(
        bar("D5:8=1@0 C#5:8=2", meter="3/4", key=2, name="0", implicit=True),
        bar("D5:8=1@1 E5:8=2 F#5:8=3 G5:8=4 A5:8=5 F#5:8=3", meter="3/4", key=2, name="1"),
        bar("C#5:16=1 D5:16=2 E5:16=3 F#5:16=4 G5:4=5 C5:4=2", meter="3/4", key=2, name="2"),
        bar("C#5:2=1 r:4", meter="3/4", key=2, name="3", barline="light-heavy"),
    )


def sixteenths_in_twelve() -> Sheet:
    run = "C5:16=1 D5:16=2 E5:16=3 F5:16=1 G5:16=2 A5:16=3 "
    down = "B5:16=4 A5:16=3 G5:16=2 F5:16=1 E5:16=3 D5:16=2"
    return sheet(
        bar(run + down, meter="12/16"),
        bar("C5:8=1 C5:16=1 D5:8.=2 E5:16=3 D5:8=2 C5:8.=1", meter="12/16", barline="light-heavy"),
    )


def thirty_seconds() -> Sheet:
    """Short values, a double dot, tuplets with and without a bracket."""
    run = "C5:32=1 D5:32=2 E5:32=3 F5:32=1 G5:32=2 A5:32=3 B5:32=4 C6:32=5"
    five = "E5:16(5/4)=1 F5:16(5/4)=2 G5:16(5/4)=3 F5:16(5/4)=2 E5:16(5/4)=1"
    threes = "D5:16t=2 E5:16t=3 F5:16t=4 G5:16t=5 F5:16t=4 E5:16t=3 D5:16t=2 E5:16t=3 D5:16t=2"
    return sheet(
        bar(f"{run} B5:16=4 A5:32=3 G5:32=2 F5:8=1"),
        bar(f"C5:8..=1 D5:32=2 {five}"),
        bar(f"C5:8=1 {threes}"),
        bar("C5:4t=1 D5:8t=2 r:8t E5:8t=3 r:8t", barline="light-heavy"),
    )


def two_hands() -> Sheet:
    """Two staves, two voices in one, ties, graces, a slur, a wedge, dynamics, a change of clef."""
    low = events("C3:8=5 G3:8=2 E3:8=3 G3:8=2", 5)
    inner = events("E4:4=1 F4:4=1", 2)
    first = bar(events("/B4:8=2 C5:4~=3@12 ~C5:8 D5:8=4", 1) + inner, low, key=-3, name="12")
    second = bar(
        "Eb5:8.=5 D5:16=4 /D5:16=3 /C5:16=2 B4:4=1", "C3:4=5 C5:8=3 D5:8=2", key=-3, name="13"
    )
    second = replace(
        second,
        clefs=(ClefChange(Q(1), 2, TREBLE),),
        directions=(Direction(Q(0), 1, "dynamic", "mf", "below"),),
    )
    third = bar("C5:2=1!tenuto", "C3,G3:2=5,1", key=-3, name="14", barline="light-heavy",
                clefs=(ClefChange(Q(0), 2, BASS),))  # fmt: skip
    return sheet(
        replace(first, directions=(
            Direction(Q(0), 1, "metronome", beat_unit=Q(3, 2), per_minute=Q(60)),
            Direction(Q(1), 1, "words", "poco rit.", italic=True),
        )),
        second,
        third,
        staves=(1, 2),
        spans=(
            Span("slur", Moment(0, Q(1)), Moment(1, Q(1))),
            Span("crescendo", Moment(0, Q(0)), Moment(1, Q(0))),
            Span("pedal", Moment(1, Q(0)), Moment(2, Q(0)), staff=2),
        ),
    )  # fmt: skip


def between_staves() -> Sheet:
    """Two wedges at once, and one where the right hand's fingers stand over the lower staff."""
    low = events("C4:8=1 D4:8=2 E4:8=3 F4:8=4", 5)
    taken = tuple(replace(event, hand=Hand.RIGHT) for event in low)
    first = bar("r:2", taken, name="1")
    second = bar("C5:8=1 D5:8=2 E5:8=3 F5:8=4", "C3:4=5 G3:4=1", name="2")
    third = bar("G5:8=5 F5:8=4 E5:8=3 D5:8=2", "C3:4=5 G3:4=1", name="3", barline="light-heavy")
    return sheet(
        first,
        second,
        third,
        staves=(1, 2),
        spans=(
            Span("crescendo", Moment(0, Q(0)), Moment(0, Q(2)), placement="below"),
            Span("crescendo", Moment(1, Q(0)), Moment(2, Q(1)), placement="below"),
            Span("diminuendo", Moment(1, Q(1)), Moment(2, Q(2)), staff=2, placement="above"),
        ),
    )


def octave_line() -> Sheet:
    return sheet(
        bar("C6:8=1 D6:8=2 E6:8=3 F6:8=1", key=0),
        bar("G6:8=2 A6:8=3 B6:8=4 C7:8=5", key=0),
        bar("C6:4=1 C5:4=1", key=0, barline="light-heavy"),
        spans=(Span("octave-up", Moment(0, Q(0)), Moment(2, Q(1)), placement="above"),),
    )


def leaps() -> Sheet:
    """Left hand alone, far apart."""
    bars = [
        bar(events(f"{low}:8=5 r:8 {high}:8=5,2,1 r:8", 5), key=-5, name=str(number))
        for number, (low, high) in enumerate(
            [("Db2", "F3,Ab3,Db4"), ("Gb1", "Bb3,Db4,Gb4"), ("Ab1", "C4,Eb4,Gb4")], start=30
        )
    ]
    return sheet(*bars, staves=(2,))


def signs() -> Sheet:
    """Repeats and endings, ornaments, articulations of both hands, a rolled chord, a long slur."""
    rolled, held = events("C4,E4,G4,C5:4=1,2,3,5 E5:4=3")
    ornaments = (replace(rolled, arpeggio=True), replace(held, ornaments=("trill-mark",)))
    low = events("C3:8=5!accent G3:8=2!staccato E3:4=3!tenuto", 5)
    run = "C5:8=1!staccato D5:8=2!staccato E5:8=3!accent F5:8=4!accent"
    turn, end = events("G5:4=5 C5:4=1")
    words = Direction(Q(0), 1, "words", "dolce", italic=True)
    return sheet(
        bar(ornaments, low, name="5", repeat_start=True, directions=(words,)),
        bar(run, "C3,G3:2=5,1", name="6"),
        bar((replace(turn, ornaments=("turn",)), replace(end, fermata=True)), "E3:2=4", name="7",
            ending=Ending("1", "start-stop"), repeat_end=True),
        bar("C5,E5,G5:2=1,3,5", "C3:2=5", name="8", ending=Ending("2", "start-stop"),
            barline="light-heavy"),
        staves=(1, 2),
        spans=(
            Span("slur", Moment(0, Q(0)), Moment(2, Q(1)), placement="above"),
            Span("pedal", Moment(0, Q(0)), Moment(1, Q(0)), staff=2),
            Span("diminuendo", Moment(1, Q(0)), Moment(2, Q(0)), staff=2, placement="below"),
        ),
    )  # fmt: skip


def left_alone() -> Sheet:
    """The left hand with labels, dynamics and a wedge under its fingers, triplets above."""
    marks = (Direction(Q(0), 2, "dynamic", "p", "below"),)
    first = bar(
        events("C3:8t=5@7 E3:8t=3 G3:8t=1 C4:8t=1* G3:8t=2* E3:8t=3*", 5),
        name="7",
        directions=marks,
    )
    second = bar(events("A2:16=5@8 C3:16=4 E3:16=2 A3:16=1 C4,E4:4=2,1", 5), name="8")
    third = bar(events("G2:8=5!accent G3:8=1!accent C3:4=2", 5), name="9", barline="light-heavy")
    wedge = Span("crescendo", Moment(1, Q(0)), Moment(2, Q(0)), staff=2)
    return sheet(first, second, third, staves=(2,), spans=(wedge,))  # fmt: skip


def long_line() -> Sheet:
    """Enough for several systems."""
    figure = "G4:16={} A4:16=2 B4:16=3 C5:16=1* D5:16=2* E5:16=3* F#5:16=4 G5:16=5"
    bars = [bar(figure.format(f"1@{n}"), key=1, name=str(n)) for n in range(41, 60)]
    return sheet(*bars[:-1], replace(bars[-1], barline="light-heavy"))


Maker = Callable[[], Sheet]

ALL: tuple[Maker, ...] = (
    long_short, in_threes, in_fours, unbeamed_fingers, chords, pickup, sixteenths_in_twelve,
    thirty_seconds, two_hands, between_staves, octave_line, leaps, signs, left_alone, long_line,
)  # fmt: skip
