"""Voices of a hand: each alone with its fingers, every head in one, a shared one in both."""

from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest

from engrave.drills.voices import FAMILY, voices_of
from engrave.errors import EngraveError
from engrave.music.notes import Hand, Pitch, Value
from engrave.music.sheet import Event, Moment, Span, Tone
from engrave.passage.model import Passage
from engrave.passage.onsets import onsets
from engrave.remarks import Remark
from tests.drills.builders import even, heard, passage, sheet
from tests.drills.fingers import suggested

UPPER = even("C5 D5 E5 F5 G5 F5 E5 D5", "1/4")


def two_voices() -> Passage:
    """Sixteenths over half notes of the same hand; both strike C5 at the beginning."""
    cut = sheet(UPPER, even("C3", "2"))
    held = Event(Fraction(0), Fraction(1), Value("quarter"), (Tone(Pitch.parse("C5")),), voice=2)
    second = replace(held, offset=Fraction(1), tones=(Tone(Pitch.parse("B4")),))
    bar = replace(cut.bars[0], events=(*cut.bars[0].events, held, second))
    voices = replace(cut, bars=(bar, *cut.bars[1:]))
    source = passage(UPPER, even("C3", "2"))
    lines = {hand: onsets(voices, hand) for hand in Hand}
    return suggested(replace(source, sheet=voices, lines=lines))


def with_second_voice(upper: list[tuple[str, str]], pickup: str = "0", sung: int = 1) -> Passage:
    """A line over two quarters of a second voice, in so many full bars from the first."""
    source = passage(upper, pickup=Fraction(pickup))
    place = 1 if Fraction(pickup) else 0
    held = tuple(
        Event(Fraction(beat), Fraction(1), Value("quarter"), (Tone(Pitch.parse(name)),), voice=2)
        for beat, name in enumerate(("A4", "B4"))
    )
    bars = list(source.sheet.bars)
    for each in range(place, place + sung):
        bars[each] = replace(bars[each], events=(*bars[each].events, *held))
    voices = replace(source.sheet, bars=tuple(bars))
    lines = {hand: onsets(voices, hand) for hand in Hand}
    return suggested(replace(source, sheet=voices, lines=lines))


@pytest.mark.parametrize(("bars", "share"), [(12, Fraction(1, 4)), (13, None)])
def test_voices_that_meet_in_a_quarter_of_the_beats_are_a_need(
    bars: int, share: Fraction | None
) -> None:
    """Six beats of 24, and of 26: what has ended is held no more."""
    need = FAMILY.need(with_second_voice(UPPER * bars, sung=3))
    assert (need and need.share) == share


@pytest.mark.parametrize(("bars", "share"), [(2, Fraction(1, 2)), (3, None)])
def test_a_voice_over_a_few_basses_is_a_need_where_they_are_held_throughout(
    bars: int, share: Fraction | None
) -> None:
    """Two beats of four, and of six: of one voice there is nothing to play alone."""
    need = FAMILY.need(with_second_voice(UPPER * bars))
    assert (need and need.share) == share


def test_where_a_voice_is_not_printed_rests_show_the_beats() -> None:
    """A pickup of three eighths in 2/4 begins off the beat: an eighth's rest, then a quarter's."""
    upper = [*even("E5 F5 G5", "1/2"), *UPPER, *UPPER]
    drills = {each.variant: each for each in FAMILY.unasked(with_second_voice(upper, "3/2")).drills}
    pickup = drills["voice-2"].sheet.bars[0]
    assert [(event.is_rest, event.length) for event in pickup.events] == [
        (True, Fraction(1, 2)), (True, Fraction(1)),
    ]  # fmt: skip


def test_each_voice_alone_and_then_the_hand() -> None:
    source = two_voices()
    drills = {drill.variant: drill for drill in FAMILY.unasked(source).drills}
    assert list(drills) == ["voice-1", "voice-2", "hand"]
    assert [name for name, _, _ in heard(drills["voice-2"])] == ["C5", "B4"]
    assert [length for _, _, length in heard(drills["voice-2"])] == [1, 1]
    assert [name for name, _, _ in heard(drills["voice-1"])] == [name for name, _ in UPPER]


@pytest.mark.parametrize(
    ("voice", "why"),
    [
        ("E5 F5 E5 F5 E5 F5", None),  # two keys in turn, six strokes
        ("E5 F5 E5 F5 E5", "never.voice"),  # five are too few
        ("E5 E5 E5 E5 E5 E5", "never.voice"),  # one key alone
    ],
)
def test_which_voice_is_worth_playing_alone(voice: str, why: str | None) -> None:
    drill = FAMILY.unasked(two_voices()).drills[0]
    note = drill.source[0]
    source = tuple(replace(note, pitches=(Pitch.parse(name),)) for name in voice.split())
    told = FAMILY.never(replace(drill, source=source))
    assert (told.key if told else None) == why


def test_a_voice_takes_its_own_slurs_along_and_nothing_else_that_reaches() -> None:
    source = two_voices()
    start, end = Moment(0, Fraction(0)), Moment(0, Fraction(1))
    spans = (
        *(Span("slur", start, end, voice=voice, end_voice=voice) for voice in (1, 2)),
        Span("slur", start, end, voice=1, end_voice=2),
        Span("crescendo", start, end),
    )
    source = replace(source, sheet=replace(source.sheet, spans=spans))
    drills = {drill.variant: drill.sheet.spans for drill in FAMILY.unasked(source).drills}
    assert drills == {"voice-1": spans[:1], "voice-2": spans[1:2], "hand": spans[:3]}


def test_a_slur_of_the_other_hand_stays_there_though_the_hands_share_a_voice() -> None:
    """The left hand has the last notes of the upper staff's voice; the right's are slurred."""
    source = passage(UPPER, even("C3 D3", "1"), hands=(Hand.LEFT,))
    bar = source.sheet.bars[0]
    events = tuple(
        replace(event, hand=Hand.LEFT) if event.offset >= Fraction(3, 2) else event
        for event in bar.events
    )
    slur = Span("slur", Moment(0, Fraction(0)), Moment(0, Fraction(1, 4)))
    bars = (replace(bar, events=events), *source.sheet.bars[1:])
    cut = replace(source.sheet, bars=bars, spans=(slur,))
    lines = {hand: onsets(cut, hand) for hand in Hand}
    drills = FAMILY.unasked(suggested(replace(source, sheet=cut, lines=lines))).drills
    assert [drill.variant for drill in drills] == ["voice-1", "voice-2", "hand"]
    assert [drill.sheet.spans for drill in drills] == [()] * 3


def test_every_head_in_exactly_one_voice_and_a_shared_one_in_both() -> None:
    source = two_voices()
    assert voices_of(source, Hand.RIGHT) == ((1,), (2,))
    made = FAMILY.make(source, FAMILY.options(steps=(1,))).drills
    heads = Counter(
        (time, tone.pitch.spelling)
        for drill in made
        for time, _, event in drill.sheet.timed()
        for tone in event.tones
    )
    whole = Counter(
        (time, tone.pitch.spelling)
        for time, _, event in source.sheet.timed()
        if event.hand is Hand.RIGHT
        for tone in event.tones
    )
    assert heads == whole
    assert heads[Fraction(0), "C5"] == 2


def test_the_fingers_are_those_of_the_whole() -> None:
    source = two_voices()
    whole = {(o.time, t.pitch): t.finger for o in source.lines[Hand.RIGHT] for t in o.tones}
    for drill in FAMILY.unasked(source).drills[:2]:
        for time, _, event in drill.sheet.timed():
            for tone in event.tones:
                assert tone.finger == whole[time, tone.pitch]


def test_one_voice_is_nothing_to_drill() -> None:
    source = suggested(passage(UPPER))
    assert FAMILY.need(source) is None
    with pytest.raises(EngraveError, match="no hand plays several voices"):
        FAMILY.unasked(source)


def test_held_voices_are_what_the_passage_needs() -> None:
    need = FAMILY.need(two_voices())
    assert need is not None
    assert need.hands == (Hand.RIGHT,)
    assert need.told(need.hands) == (Remark.of("why.voices", hand=Hand.RIGHT),)
