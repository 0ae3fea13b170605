"""Runs: maximal chains of notes of one value in one hand, an eighth or shorter, without rests.

Enters: a hand's onsets and the meters they stand in. Leaves: ``Run``s in order. Knows no drills.
"""

from collections.abc import Callable, Container, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby, pairwise

from engrave.music.notes import Hand, Pitch
from engrave.music.onset import Onset
from engrave.music.sheet import Meter
from engrave.music.units import Quarters

LONGEST_VALUE = Fraction(1, 2)
FEWEST_NOTES = 4
"""A shorter chain is a turn or an upbeat, not a run (common practice, no source)."""

MOST_STROKES = 4
"""Strokes of one key for which fingers change in a figure, 4 3 2 1; more are an accompaniment
(common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Run:
    """A run of one voice, or of several that move as one.

    ``value`` is every note's length in quarters. ``landing`` is the onset where the run arrives, of
    the hand's whole line and none of its ``notes``; None where a rest or the end of the passage
    follows. ``place_in_beat`` counts run values from the beat in which the run starts to its first
    note (0 where they are not whole); ``per_beat`` how many such values fill that beat. ``others``
    are onsets of the hand during the run of which it does not play everything.
    """

    notes: tuple[Onset, ...]
    value: Quarters
    landing: Onset | None
    place_in_beat: int
    per_beat: Fraction
    others: tuple[Onset, ...] = ()

    @property
    def with_landing(self) -> tuple[Onset, ...]:
        """The notes, and where they arrive, if they do."""
        return (*self.notes, self.landing) if self.landing else self.notes

    @property
    def start(self) -> Quarters:
        """Time of the first note, in quarters from the start of the passage."""
        return self.notes[0].time

    @property
    def end(self) -> Quarters:
        """Time at which the last note ends: that of the landing, if there is one."""
        return self.notes[-1].time + self.value

    @property
    def repeats(self) -> bool:
        """Whether it mostly strikes the same keys again: an accompaniment, and no run.

        A figure on which the fingers change, single notes struck again two to four times and then
        the next, is a run: that every note speaks is what there is to learn.
        """
        strokes = [(keys, len(list(same))) for keys, same in groupby(self.notes, _keys)]
        if len(strokes) > 2 and all(len(keys) == 1 and n <= MOST_STROKES for keys, n in strokes):
            return False
        return 2 * (len(self.notes) - len(strokes)) >= len(self.notes) - 1

    @property
    def group(self) -> int:
        """How many notes the player hears as one group, as the source has them in a beat."""
        if self.per_beat in (5, 7):
            return int(self.per_beat)
        return 3 if self.in_threes else 4

    @property
    def in_threes(self) -> bool:
        """Whether the beat is filled by threes (triplets, 6/8) rather than by pairs or fours."""
        return self.per_beat % 3 == 0


def runs(line: Sequence[Onset], meter_at: Callable[[int], Meter]) -> tuple[Run, ...]:
    """The runs of a hand in order.

    Where several could be taken at once, the one of the shortest value, then the longest; then all
    voices where they move as one, rather than one voice, rather than a run that voices make by
    turns, or under a key that one of them holds (a melody note, say, on the first of every four).
    """
    voices = sorted({tone.voice for onset in line for tone in onset.tones})
    chains = [run for notes in _candidates(line, voices) for run in _chains(notes, line, meter_at)]
    chosen: list[Run] = []
    for run in sorted(chains, key=lambda run: (run.value, -len(run.notes))):
        if all(run.end <= other.start or other.end <= run.start for other in chosen):
            chosen.append(run)
    return tuple(sorted(chosen, key=lambda run: run.start))


@dataclass(frozen=True, slots=True)
class SharedRuns:
    """Runs that pass from one hand to the other.

    ``line`` holds one onset a moment, as long as it takes to the next; ``aside`` the left hand's
    onsets at moments where the right hand's stands in the line.
    """

    line: tuple[Onset, ...]
    runs: tuple[Run, ...]
    aside: tuple[Onset, ...]


def runs_across(
    lines: Mapping[Hand, Sequence[Onset]], meter_at: Callable[[int], Meter]
) -> SharedRuns:
    """The runs in which both hands take part, and the common line in which they lie."""
    right = {onset.time: onset for onset in lines[Hand.RIGHT]}
    aside = tuple(onset for onset in lines[Hand.LEFT] if onset.time in right)
    alone = [onset for onset in lines[Hand.LEFT] if onset.time not in right]
    merged = sorted([*right.values(), *alone], key=lambda onset: onset.time)
    line = tuple(replace(onset, index=number) for number, onset in enumerate(_by_turns(merged)))
    both = {onset.time for onset in aside}
    crossing = (run for run in _chains(line, line, meter_at) if _passes_between_hands(run, both))
    return SharedRuns(line, tuple(crossing), aside)


def _passes_between_hands(run: Run, both: Container[Quarters]) -> bool:
    """Whether each hand takes its turn, two notes or more at a time; at ``both`` both strike.

    A single bass note under a figure of the right hand is no part of the figure, and hands that go
    along with each other do not take turns where one of them ends sooner.
    """
    turns = [list(turn) for _, turn in groupby(run.notes, key=lambda note: note.hand)]
    if len(turns) < 2 or min(map(len, turns)) < 2:
        return False
    return not any(
        all(note.time in both for note in joint)
        for before, after in pairwise(turns)
        for joint in (before[-2:], after[:2])
    )


def _candidates(line: Sequence[Onset], voices: Sequence[int]) -> Iterator[list[Onset]]:
    """Lines in which to look for runs, the preferred first; lengths are what each note lasts."""
    yield [onset for onset in line if len({tone.length for tone in onset.tones}) == 1]
    for voice in voices:
        yield [only for onset in line if (only := _of_voice(onset, voice))]
    yield _by_turns(line)


def _of_voice(onset: Onset, voice: int) -> Onset | None:
    tones = tuple(tone for tone in onset.tones if tone.voice == voice)
    return replace(onset, tones=tones) if tones else None


def _by_turns(line: Sequence[Onset]) -> list[Onset]:
    """Every onset as long as it takes to the next, where something sounds that long."""
    result = []
    for onset, following in pairwise(line):
        step = following.time - onset.time
        if onset.length >= step:
            tones = tuple(replace(tone, length=step) for tone in onset.tones)
            result.append(replace(onset, tones=tones))
    return result + list(line[-1:])


def _chains(
    notes: Sequence[Onset], line: Sequence[Onset], meter_at: Callable[[int], Meter]
) -> Iterator[Run]:
    chain: list[Onset] = []
    for note in [*notes, None]:
        if note and chain and note.time == _end(chain[-1]) and note.length == chain[0].length:
            chain.append(note)
            continue
        if len(chain) >= FEWEST_NOTES:
            yield _run(chain, line, meter_at)
        chain = [note] if note and note.length <= LONGEST_VALUE else []


def _keys(onset: Onset) -> tuple[Pitch, ...]:
    return onset.pitches


def _end(onset: Onset) -> Quarters:
    return onset.time + onset.length


def _run(chain: Sequence[Onset], line: Sequence[Onset], meter_at: Callable[[int], Meter]) -> Run:
    first, value = chain[0], chain[0].length
    beat = meter_at(first.bar).beat
    place = first.metric % beat / value
    start, end = first.time, chain[-1].time + value
    played = {onset.time: len(onset.tones) for onset in chain}
    return Run(
        notes=tuple(chain),
        value=value,
        landing=next((onset for onset in line if onset.time == end), None),
        place_in_beat=int(place) if place.denominator == 1 else 0,
        per_beat=beat / value,
        others=tuple(
            onset
            for onset in line
            if start <= onset.time < end and played.get(onset.time) != len(onset.tones)
        ),
    )
