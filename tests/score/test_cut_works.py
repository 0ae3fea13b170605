"""Cuts of real works: what sounds inside is all there, and nothing reaches beyond the edges."""

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from functools import cache

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from engrave.errors import EngraveError
from engrave.music.notes import Hand
from engrave.music.ranges import MeasureRange
from engrave.music.sheet import Moment, Sheet
from engrave.score import Score, cut, locate, measures_of, read_score
from engrave.score.cutting.tuplets import tears_tuplet
from engrave.score.measures import Measure
from tests.works import SWEPT, Work

SOME = settings(deadline=None, max_examples=150, derandomize=True)

Sound = tuple[Fraction, Fraction, str, Hand, int]
"""From, to (quarters), spelling, hand, voice."""
Range = tuple[Work, Moment, Moment]


@cache
def read(work: Work) -> tuple[Score, tuple[Measure, ...]]:
    score = read_score(work.score)
    return score, measures_of(score.sheet)


def sounds(sheet: Sheet) -> Counter[Sound]:
    """What sounds, tied notes as one: an oracle that knows nothing of cutting."""
    open_: dict[tuple[int, str], Sound] = {}
    found: Counter[Sound] = Counter()
    events = sorted(sheet.timed(), key=lambda each: each[0])
    for time, _, event in events:
        for tone in () if event.grace else event.tones:
            key = (event.voice, tone.pitch.spelling)
            held = open_.pop(key, None) if tone.tie_in else None
            start = held[0] if held and held[1] == time else time
            if held and held[1] != time:
                found[held] += 1
            sound = (start, time + event.length, tone.pitch.spelling, event.hand, event.voice)
            if tone.tie_out:
                open_[key] = sound
            else:
                found[sound] += 1
    found.update(open_.values())
    return found


def clipped(whole: Counter[Sound], low: Fraction, high: Fraction) -> Iterator[Sound]:
    for (start, end, *rest), count in whole.items():
        if start < high and end > low:
            for _ in range(count):
                yield (max(start, low) - low, min(end, high) - low, *rest)  # type: ignore[misc]


@st.composite
def ranges(draw: st.DrawFn) -> Range:
    work = draw(st.sampled_from(SWEPT))
    score, measures = read(work)
    first = draw(st.integers(0, len(measures) - 1))
    last = draw(st.integers(first, min(first + 4, len(measures) - 1)))
    ends = [
        Fraction(draw(st.integers(1, measures[index].beats))) if draw(st.booleans()) else None
        for index in (first, last)
    ]
    try:
        wanted = MeasureRange(measures[first].name, ends[0], measures[last].name, ends[1])
        return work, *locate(score, wanted)
    except EngraveError:
        assume(False)
        raise


def cut_or_skip(score: Score, start: Moment, end: Moment) -> Sheet:
    """The cut; where a tuplet would be torn, which has tests of its own, another example."""
    assume(not any(tears_tuplet(score.sheet.bars[m.bar], m.offset) for m in (start, end)))
    return cut(score, start, end)


@SOME
@given(ranges())
def test_what_sounds_inside_is_all_there(where: Range) -> None:
    score, start, end = read(where[0])[0], *where[1:]
    sheet = cut_or_skip(score, start, end)
    starts = score.sheet.starts
    low, high = starts[start.bar] + start.offset, starts[end.bar] + end.offset
    assert sheet.length == high - low
    assert sounds(sheet) == Counter(clipped(sounds(score.sheet), low, high))


@SOME
@given(ranges())
def test_nothing_reaches_beyond_the_edges(where: Range) -> None:
    score, start, end = read(where[0])[0], *where[1:]
    sheet = cut_or_skip(score, start, end)
    for span in sheet.spans:
        assert span.start <= span.end
        assert 0 <= span.start.bar <= span.end.bar < len(sheet.bars)
        assert span.end.offset <= sheet.bars[span.end.bar].length
        if span.kind == "slur":
            for moment, voice in ((span.start, span.voice), (span.end, span.end_voice)):
                assert any(
                    event.voice == voice and event.offset == moment.offset and event.tones
                    for event in sheet.bars[moment.bar].events
                )
    first, last = sheet.bars[0], sheet.bars[-1]
    assert not any(t.tie_in for e in first.events if e.offset == 0 for t in e.tones)
    assert not any(t.tie_out for e in last.events if e.end == last.length for t in e.tones)
    assert {change.staff for change in first.clefs if change.offset == 0} == {1, 2}
    for bar, source in zip(sheet.bars, score.sheet.bars[start.bar : end.bar + 1], strict=True):
        assert (bar.name, bar.meter, bar.key) == (source.name, source.meter, source.key)
        assert bar.implicit == (source.implicit or bar.length != source.length)


@SOME
@given(ranges())
def test_beams_begin_and_end_inside(where: Range) -> None:
    sheet = cut_or_skip(read(where[0])[0], *where[1:])
    for bar in sheet.bars:
        for voice in {event.voice for event in bar.events}:
            depth: Counter[int] = Counter()
            for event in bar.events:
                if event.voice == voice and event.tones and not event.grace:
                    for level, tag in enumerate(event.beams or ()):
                        assert (tag in ("continue", "end")) == (depth[level] == 1)
                        depth[level] = tag in ("begin", "continue")
            assert not any(depth.values())


@pytest.mark.parametrize("work", SWEPT, ids=lambda work: work.name)
def test_the_cut_of_a_whole_score_is_the_score(work: Work) -> None:
    score, _ = read(work)
    bars = score.sheet.bars
    whole = cut(score, Moment(0, Fraction(0)), Moment(len(bars) - 1, bars[-1].length))
    assert whole == score.sheet
