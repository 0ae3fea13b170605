"""What holds of every rhythm drill, over generated passages."""

from fractions import Fraction
from operator import eq
from typing import Any

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from engrave.drills.patterns import PATTERNS, Pattern
from engrave.drills.rhythms import FAMILY
from engrave.music.drill import Drill
from engrave.music.notes import Hand, Pitch
from engrave.music.sheet import Meter
from engrave.passage.model import Passage
from tests.drills.builders import heard, passage

METERS = (Meter(2, 4), Meter(3, 4), Meter(6, 8), Meter(12, 16), Meter(4, 4))
VALUES = ("1/2", "1/4", "1/8", "1/3", "1/6")

pitches = st.builds(Pitch, st.sampled_from("CDEFGAB"), st.integers(-1, 1), st.integers(4, 5)).map(
    lambda pitch: pitch.spelling
)
keys = st.lists(pitches, min_size=1, max_size=2, unique_by=lambda name: Pitch.parse(name).midi)
names = keys.map(lambda chord: " ".join(sorted(chord, key=lambda name: Pitch.parse(name).midi)))
patterns = st.sampled_from(list(PATTERNS.values()))


@st.composite
def passages(draw: st.DrawFn) -> Passage:
    """A run of four notes or more, perhaps off the beat, perhaps landing, over slow left notes."""
    meter = draw(st.sampled_from(METERS))
    value = Fraction(draw(st.sampled_from(VALUES)))
    count = draw(st.integers(4, 17))
    late = draw(st.integers(0, 3)) * value
    notes = [(draw(names), str(value)) for _ in range(count)]
    right = [("rest", str(late)), *notes] if late else notes
    if draw(st.booleans()):
        right = [*right, (draw(names), str(1 + value * draw(st.integers(1, 3))))]
    total = sum(Fraction(length) for _, length in right)
    step = draw(st.sampled_from((value, 2 * value, meter.beat)))
    struck = [name for name, _ in notes]
    assume(2 * sum(map(eq, struck, struck[1:])) < count - 1)  # what only repeats is no run
    left = [(draw(names).replace("5", "3").replace("4", "2"), str(step))
            for _ in range(int(total / step))]  # fmt: skip
    return passage(right, left, meter)


def drill_of(source: Passage, pattern: Pattern, **options: Any) -> Drill | None:
    made = FAMILY.make(source, FAMILY.options(variants=(pattern.name,), **options))
    return next((drill for drill in made.drills if drill.variant == pattern.name), None)


@given(passages(), patterns)
@settings(max_examples=40, deadline=None)
def test_pitches_spelling_and_order_are_those_of_the_source(
    source: Passage, pattern: Pattern
) -> None:
    drill = drill_of(source, pattern)
    assert drill is not None
    line = source.lines[Hand.RIGHT]
    played = [name for name, _, _ in heard(drill)]
    assert played == [" ".join(p.spelling for p in onset.pitches) for onset in line][: len(played)]
    assert drill.written == tuple((index,) for index in range(len(drill.source)))
    landing = 1 if line[-1].length > line[0].length else 0
    assert len(played) == len(line) or not landing


@given(passages(), patterns)
@settings(max_examples=40, deadline=None)
def test_every_measure_is_full(source: Passage, pattern: Pattern) -> None:
    drill = drill_of(source, pattern)
    assert drill is not None
    for bar in drill.sheet.bars:
        assert bar.is_full or bar.implicit
        assert sum(event.length for event in bar.events) == bar.length
        for event in bar.events:
            assert event.value.length == event.length


@given(passages(), patterns)
@settings(max_examples=40, deadline=None)
def test_groups_have_the_patterns_proportions(source: Passage, pattern: Pattern) -> None:
    """Read from the drill alone: where bar lines and groups are, no matter how it was made."""
    drill = drill_of(source, pattern)
    assert drill is not None
    notes = heard(drill)
    first = drill.sheet.bars[0]
    pickup = first.length if first.implicit else Fraction(0)
    groups: dict[Fraction, list[tuple[Fraction, Fraction]]] = {}
    for _, time, length in notes[:-1]:
        start = (time - pickup) // pattern.fills * pattern.fills
        groups.setdefault(start, []).append((time - pickup - start, length))
    *whole, last = groups.values()
    expected = list(zip(pattern.offsets, pattern.note_lengths, strict=True))
    for index, group in enumerate(whole):
        assert group == expected if index or not pickup else group == expected[-len(group) :]
    beat = pattern.meter.beat
    in_pattern = last == expected[: len(last)] or last == expected[-len(last) :]
    evenly = all(length == beat / len(last) for _, length in last)
    assert in_pattern or evenly


@given(passages(), patterns)
@settings(max_examples=40, deadline=None)
def test_total_length_is_as_predicted(source: Passage, pattern: Pattern) -> None:
    """Bars = enough for all groups and the landing's beat: never a bar more, never a rest."""
    drill = drill_of(source, pattern)
    assert drill is not None
    assert not any(event.is_rest for bar in drill.sheet.bars for event in bar.events)
    last = heard(drill)[-1]
    assert last[2] <= pattern.meter.length
    assert last[1] + last[2] == drill.sheet.length


@given(passages(), patterns)
@settings(max_examples=40, deadline=None)
def test_what_was_struck_together_is_struck_together(source: Passage, pattern: Pattern) -> None:
    drill = drill_of(source, pattern, together=True)
    if drill is None:
        return
    times: dict[tuple[Hand, str, Fraction], Fraction] = {}
    moments = sorted({time for _, time, _ in heard(drill)})
    assert len(moments) == len(drill.written)
    for time, indices in zip(moments, drill.written, strict=True):
        for index in indices:
            note = drill.source[index]
            times[note.hand, note.measure, note.offset] = time
    for (hand, measure, offset), time in times.items():
        twin = times.get((hand.other, measure, offset))
        assert twin is None or twin == time


@given(passages(), patterns)
@settings(max_examples=40, deadline=None)
def test_the_same_passage_gives_the_same_drill(source: Passage, pattern: Pattern) -> None:
    assert drill_of(source, pattern) == drill_of(source, pattern)
