"""One hand's runs laid out in a pattern: every note of the drill with its time and length.

Enters: runs, what lies between them, a pattern. Leaves: a ``RhythmLine``. Knows no paper.

The rules: the pattern is laid over the run group after group, in the phase of the source beat in
which the run starts. A landing that starts a group or takes a group's long place is held to the
bar's end; otherwise the notes left over fill one beat in equal values and the landing follows. A
run without a landing lands on its own last note. What lies between two runs stays as written; where
the next run's phase asks for more time, the landing before it is held longer; over a rest that is
shorter than any printed value it is held as well.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from engrave.drills.patterns import Pattern
from engrave.drills.time_map import TimeMap
from engrave.music.onset import Onset
from engrave.music.units import Quarters, is_dyadic
from engrave.passage.runs import Run

SHORTEST = Fraction(1, 4)
"""The shortest printed value, in quarters."""


@dataclass(frozen=True, slots=True)
class LaidNote:
    """An onset at its time and length in the drill, in quarters."""

    onset: Onset
    time: Quarters
    length: Quarters
    accented: bool = False

    @property
    def end(self) -> Quarters:
        """Where it ends in the drill."""
        return self.time + self.length


@dataclass(frozen=True, slots=True)
class RhythmLine:
    """A hand's runs in a pattern: the notes in order, the pickup's length, the map of time."""

    notes: tuple[LaidNote, ...]
    pickup: Quarters
    time_map: TimeMap

    @property
    def end(self) -> Quarters:
        """The drill's length in quarters."""
        return self.notes[-1].end


@dataclass(frozen=True, slots=True)
class _Section:
    """A run as it is laid out: the notes that take the pattern, from place ``phase`` of a group,
    the landing, and the time at which the landing ends in the score.
    """

    notes: tuple[Onset, ...]
    landing: Onset
    phase: int
    landing_end: Quarters


def lay_out(line: Sequence[Onset], runs: Sequence[Run], pattern: Pattern) -> RhythmLine:
    """All ``runs`` of ``line`` in ``pattern``, with what lies between them as it was written."""
    sections = _sections(line, runs, pattern)
    phase = sections[0].phase
    pickup = sum(pattern.note_lengths[phase:], Fraction(0)) if phase else Fraction(0)
    placed = _lay_run(sections[0], pattern, Fraction(0), pickup)
    knots = []
    for before, section in pairwise(sections):
        before = _held_to(before, section, line)
        gap = section.notes[0].time - before.landing_end
        held, waited = _delays(gap, section.phase, pattern)
        placed[-1] = replace(placed[-1], length=placed[-1].length + held)
        now = placed[-1].end
        knots.append((before.landing_end, now))
        placed += _between(line, before, section, now - before.landing_end)
        if waited and placed[-1].end == now + gap:
            placed[-1] = replace(placed[-1], length=placed[-1].length + waited)
        placed += _lay_run(section, pattern, now + gap + waited, pickup)
    knots += [(note.onset.time, note.time) for note in placed]
    knots.append((sections[-1].landing_end, placed[-1].end))
    return RhythmLine(tuple(placed), pickup, TimeMap(tuple(sorted(set(knots)))))


def _held_to(before: _Section, after: _Section, line: Sequence[Onset]) -> _Section:
    """The section with its landing held over a short rest, if nothing else comes before the next.

    Written as it stands such a rest would put all that follows beside the beat.
    """
    start = after.notes[0].time
    is_empty = not any(before.landing.time < onset.time < start for onset in line)
    if is_empty and start - before.landing_end < SHORTEST:
        return replace(before, landing_end=start)
    return before


def _delays(gap: Quarters, phase: int, pattern: Pattern) -> tuple[Quarters, Quarters]:
    """How much longer a landing is held, and how much later still the next run begins.

    What lies between, ``gap`` quarters, is moved as a whole; where that would put halves and thirds
    into one beat it stays on the beat, and its last note or rest reaches over to the run.
    """
    late = (pattern.offsets[phase] - gap) % pattern.fills
    if not gap or is_dyadic(late):
        return late, Fraction(0)
    shares_a_beat = gap // pattern.fills == (gap + late) // pattern.fills
    return Fraction(0), late + pattern.fills if shares_a_beat and gap % pattern.fills else late


def _sections(line: Sequence[Onset], runs: Sequence[Run], pattern: Pattern) -> list[_Section]:
    """The runs as they are laid out: a landing that begins the next run is played once."""
    sections: list[_Section] = []
    for run in runs:
        notes, place = run.notes, run.place_in_beat
        if sections and notes[0].time == sections[-1].landing.time:
            notes, place = notes[1:], place + 1
        landing, end = run.landing, run.end
        if landing is None:
            landing, notes = notes[-1], notes[:-1]
        else:
            after = next((o.time for o in line if o.time > end), None)
            end = (
                landing.time + landing.length
                if after is None
                else min(landing.time + landing.length, after)
            )
        phase = place % pattern.size
        if len(notes) < pattern.size - phase:
            phase = 0
        sections.append(_Section(notes, landing, phase, end))
    return sections


def _lay_run(
    section: _Section, pattern: Pattern, start: Quarters, pickup: Quarters
) -> list[LaidNote]:
    count = len(section.notes)
    landing_place = (section.phase + count) % pattern.size
    fits = landing_place == 0 or landing_place in pattern.long_places
    left_over = 0 if fits else min(landing_place, count)
    placed, now = [], start
    for number, onset in enumerate(section.notes[: count - left_over]):
        place = (section.phase + number) % pattern.size
        length = pattern.note_lengths[place]
        placed.append(LaidNote(onset, now, length, place == pattern.accent))
        now += length
    beat = pattern.meter.beat
    for onset in section.notes[count - left_over :]:
        placed.append(LaidNote(onset, now, beat / left_over))
        now += beat / left_over
    accented = pattern.accent is not None
    placed.append(LaidNote(section.landing, now, _to_bar_end(now, pattern, pickup), accented))
    return placed


def _to_bar_end(now: Quarters, pattern: Pattern, pickup: Quarters) -> Quarters:
    bar = pattern.meter.length
    return bar - (now - pickup) % bar


def _between(
    line: Sequence[Onset], before: _Section, after: _Section, shift: Quarters
) -> list[LaidNote]:
    """What the hand plays between a landing and the next run, each note to the next at most."""
    end = after.notes[0].time
    inside = [o for o in line if before.landing.time < o.time < end]
    nexts = [*(onset.time for onset in inside[1:]), end][: len(inside)]
    return [
        LaidNote(onset, onset.time + shift, min(onset.length, following - onset.time))
        for onset, following in zip(inside, nexts, strict=True)
    ]
