"""Voices: each voice of a hand alone, then two together, then the hand as written.

Enters: a passage. Leaves: for every marked hand with several voices ``voice-1``, ``voice-2`` …, of
three and more ``voices-1-2``, ``voices-1-3`` … too, and ``hand``. Every note head stands in the
voice that the score gives it, one that two voices share in both; fingers are those that the note
has in the whole; what is held is held.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations

from engrave.drills.family import (
    Family,
    Made,
    Options,
    drill_of,
    nothing_to_drill,
    option,
    source_note,
)
from engrave.drills.needs import Need, moments, share
from engrave.drills.one_hand import with_both_ends
from engrave.drills.printed_source import PrintedSource, clefs_of, numbered
from engrave.drills.sifting import FEWEST_ONSETS
from engrave.fingering.holding import let_go
from engrave.marks.readers import list_of, value
from engrave.marks.scalars import whole
from engrave.music.drill import Drill
from engrave.music.notes import Hand, Pitch
from engrave.music.onset import Onset
from engrave.music.sheet import Bar, Event, Sheet
from engrave.music.units import Quarters
from engrave.music.values import spell
from engrave.passage.model import Passage
from engrave.remarks import Remark

STEPS = (1, 2, 3)
LEAST_NOTES = 2
"""Of a voice that is one; a lone held note is none."""

LEAST_ALONE = FEWEST_ONSETS
"""Strokes of a voice that is worth playing alone, unless the teacher asks for it: as many as other
drills need."""

LEAST_SHARE, LEAST_OF_ONE = Fraction(1, 4), Fraction(1, 2)
"""Of the beats; where voices meet seldom, they are not what the passage is about. More where one
voice alone has something to play: the others are its bass or its last notes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class VoiceOptions(Options):
    """Which steps: each voice alone, two at a time, the hand as written."""

    steps: tuple[int, ...] = option(list_of(value(whole("a step", 1, 3))), STEPS)


def make(passage: Passage, options: VoiceOptions) -> Made:
    """The steps for every marked hand that plays several voices."""
    drills = [
        drill
        for hand in passage.hands
        if len(several := voices_of(passage, hand)) > 1
        for drill in _drills(passage, options, hand, several)
    ]
    if not drills:
        raise nothing_to_drill(
            passage,
            "voices",
            "no hand plays several voices",
            "drop voices from this passage's drills, or widen its measures",
        )
    return Made(tuple(drills))


def voices_of(passage: Passage, hand: Hand) -> tuple[tuple[int, ...], ...]:
    """The voices that a hand strikes, from the top of the page down.

    One of a lone note goes with its neighbour, so that every head stands in one of them.
    """
    counts: dict[int, int] = {}
    for bar in passage.sheet.bars:
        for event in bar.of(hand):
            if event.tones and not event.grace:
                counts[event.voice] = counts.get(event.voice, 0) + event.is_struck
    groups: list[tuple[int, ...]] = []
    for voice in sorted(counts):
        if groups and (counts[voice] < LEAST_NOTES or sum(counts[v] for v in groups[-1]) < 2):
            groups[-1] = (*groups[-1], voice)
        else:
            groups.append((voice,))
    return tuple(groups)


def need(passage: Passage) -> Need | None:
    """The beats in which a hand strikes a key while it holds another of its voices."""
    held_over = {
        hand: list(_under_held(passage.lines[hand], hand, passage.stretch_mm[hand]))
        for hand in passage.hands
    }
    shares = {hand: share(passage, moments(times)) for hand, times in held_over.items()}
    hands = tuple(
        hand
        for hand in passage.hands
        if shares[hand] >= LEAST_SHARE
        and (count := _worth_alone(passage, hand))
        and (count > 1 or shares[hand] >= LEAST_OF_ONE)
    )
    if not hands:
        return None
    each = tuple((hand, Remark.of("why.voices", hand=hand)) for hand in hands)
    return Need(max(shares[hand] for hand in hands), 4, hands, each=each)


def _worth_alone(passage: Passage, hand: Hand) -> int:
    """How many of the hand's voices are worth playing alone."""
    found = voices_of(passage, hand)
    if len(found) < 2:
        return 0
    return sum(
        _is_worth_playing([onset.pitches for onset in _reduced(passage, hand, voices)])
        for voices in found
    )


def _is_worth_playing(strokes: Sequence[tuple[Pitch, ...]]) -> bool:
    return len(strokes) >= LEAST_ALONE and len(set(strokes)) > 1


def never(drill: Drill) -> Remark | None:
    """Why a voice alone is no drill of which hardly a note, or one key alone, is struck."""
    if drill.variant == "hand" or _is_worth_playing([note.pitches for note in drill.source]):
        return None
    return Remark.of("never.voice")


def _under_held(line: Sequence[Onset], hand: Hand, stretch_mm: float) -> Iterator[Quarters]:
    """When a key goes down while a tone of another voice is held.

    A bass that the hand has to let go for its chords is the pedal's, and no voice to hold.
    """
    sounding: list[tuple[Quarters, int, int]] = []
    for onset in line:
        keys = tuple(sorted({pitch.midi for pitch in onset.pitches}))
        held = tuple(sorted({key for end, _, key in sounding if end > onset.time}))
        gone = let_go(keys, held, hand, stretch_mm)
        sounding = [each for each in sounding if each[0] > onset.time and each[2] not in gone]
        mine = {tone.voice for tone in onset.tones}
        if any(voice not in mine for _, voice, _ in sounding):
            yield onset.time
        sounding += [(onset.time + t.length, t.voice, t.pitch.midi) for t in onset.tones]


def _drills(
    passage: Passage, options: VoiceOptions, hand: Hand, several: Sequence[tuple[int, ...]]
) -> Iterator[Drill]:
    """One voice, then two, then all; of two voices there is one pair, and it is the hand."""
    for size in range(1, min(len(several), 3)):
        if size in options.steps:
            for some in combinations(range(len(several)), size):
                numbers = "-".join(str(number + 1) for number in some)
                name = f"voice-{numbers}" if size == 1 else f"voices-{numbers}"
                yield _drill(
                    passage, options, hand, name, [v for n in some for v in several[n]], size - 1
                )
    if 3 in options.steps:
        yield _drill(passage, options, hand, "hand", None, len(STEPS) - 1)


def _drill(
    passage: Passage,
    options: VoiceOptions,
    hand: Hand,
    variant: str,
    voices: Sequence[int] | None,
    worth: int,
) -> Drill:
    line = list(_reduced(passage, hand, voices))
    sheet = _sheet(passage, hand, voices, line)
    return drill_of(
        passage,
        options,
        ("voices", variant),
        (hand,),
        sheet,
        map(source_note, line),
        of=hand,
        worth=worth,
        remarks=[Remark.of("voices.how" if voices else "voices.whole")],
    )


def _reduced(passage: Passage, hand: Hand, voices: Sequence[int] | None) -> Iterator[Onset]:
    """The hand's onsets with the keys of some voices alone; a key that voices share is in each."""
    struck: dict[Quarters, set[Pitch]] = {}
    for time, _, event in passage.sheet.timed():
        if event.hand is hand and not event.grace and (voices is None or event.voice in voices):
            keys = {tone.pitch for tone in event.tones}
            struck.setdefault(time, set()).update(keys)
    for onset in passage.lines[hand]:
        tones = tuple(tone for tone in onset.tones if tone.pitch in struck.get(onset.time, ()))
        if tones:
            yield replace(onset, tones=tones)


def _sheet(
    passage: Passage, hand: Hand, voices: Sequence[int] | None, line: Sequence[Onset]
) -> Sheet:
    source, starts = PrintedSource(line), passage.sheet.starts
    staves = tuple(
        sorted({event.staff for bar in passage.sheet.bars for event in bar.of(hand)} | {hand.staff})
    )
    bars = [
        _bar(bar, start, hand, voices, staves, source)
        for start, bar in zip(starts, passage.sheet.bars, strict=True)
    ]
    bars = _without_loose_ends(bars, starts)
    slurs = (span for span in passage.sheet.spans if span.kind == "slur")
    return Sheet(tuple(bars), with_both_ends(slurs, bars), staves)


def _without_loose_ends(bars: Sequence[Bar], starts: Sequence[Quarters]) -> list[Bar]:
    """Ties that go on in another voice end here; lines of trills go with the whole."""
    held = {
        (start + event.offset, tone.pitch)
        for start, bar in zip(starts, bars, strict=True)
        for event in bar.events
        for tone in event.tones
        if tone.tie_in
    }

    def closed(event: Event, start: Quarters) -> Event:
        end = start + event.end
        tones = tuple(
            replace(tone, tie_out=tone.tie_out and (end, tone.pitch) in held)
            for tone in event.tones
        )
        return replace(event, tones=tones, trill_line=None)

    return [
        replace(bar, events=tuple(closed(event, start) for event in bar.events))
        for start, bar in zip(starts, bars, strict=True)
    ]


def _bar(
    bar: Bar,
    start: Quarters,
    hand: Hand,
    voices: Sequence[int] | None,
    staves: tuple[int, ...],
    source: PrintedSource,
) -> Bar:
    events = [
        source.marked(event, start)
        for event in bar.of(hand)
        if voices is None or event.voice in voices
    ]
    if voices is not None:
        events = [event for voice in voices for event in _filled(bar, events, voice, hand)]
    return replace(bar, events=numbered(bar, events), clefs=clefs_of(bar, staves), directions=())


def _filled(bar: Bar, events: Sequence[Event], voice: int, hand: Hand) -> Iterator[Event]:
    """A voice's events, its rests shown, and rests where the score does not print the voice."""
    now = Fraction(0)
    mine = [event for event in events if event.voice == voice]
    staff = mine[0].staff if mine else hand.staff
    if not mine:
        rest = spell([(now, bar.length)], bar.meter, bar.lead)
        whole_bar = bar.length == bar.meter.length
        for piece in rest[:1] if whole_bar else rest:
            length = bar.length if whole_bar else piece.value.length
            yield Event(
                piece.offset, length, piece.value, (), hand, staff, voice, whole_bar=whole_bar
            )
        return
    for event in [*mine, None]:
        until = event.offset if event else bar.length
        if until > now:
            for piece in spell([(now, until)], bar.meter, bar.lead):
                yield Event(piece.offset, piece.value.length, piece.value, (), hand, staff, voice)
        if event:
            yield replace(event, silent=False, stem=None)
            now = max(now, event.end)


FAMILY = Family("voices", make, VoiceOptions, need, never)
