"""Runs: maximal chains of notes of one value in one hand, an eighth or shorter, without rests.

Enters: a hand's onsets and the meters they stand in. Leaves: ``Run``s in order. Knows no drills.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from engrave.model import Meter
from engrave.passage import Onset
from engrave.units import Quarters

LONGEST_VALUE = Fraction(1, 2)
FEWEST_NOTES = 4
"""A shorter chain is a turn or an upbeat, not a run (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Run:
    """A run of one voice.

    ``value`` is every note's length in quarters. ``landing`` is the onset where the run arrives,
    None where a rest or the end of the passage follows. ``place`` counts run values from the beat
    in which the run starts to its first note; ``per_beat`` how many such values fill that beat.
    ``others`` are onsets of the hand during the run that its voice does not play.
    """

    notes: tuple[Onset, ...]
    value: Quarters
    landing: Onset | None
    place: int
    per_beat: Fraction
    voice: int
    others: tuple[Onset, ...] = ()

    @property
    def start(self) -> Quarters:
        """Time of the first note, in quarters from the start of the passage."""
        return self.notes[0].time

    @property
    def end(self) -> Quarters:
        """Time at which the last note ends: that of the landing, if there is one."""
        return self.notes[-1].time + self.value

    @property
    def group(self) -> int:
        """How many notes the player hears as one group: three or four."""
        return 3 if self.in_threes else 4

    @property
    def in_threes(self) -> bool:
        """Whether the beat is filled by threes (triplets, 6/8) rather than by pairs or fours."""
        return self.per_beat % 3 == 0


def runs(line: Sequence[Onset], meter_at: Callable[[int], Meter]) -> tuple[Run, ...]:
    """The runs of a hand in order; where voices run at once, the one with more notes a beat."""
    voices = sorted({tone.voice for onset in line for tone in onset.tones})
    found = [run for voice in voices for run in _voice_runs(line, voice, meter_at)]
    chosen: list[Run] = []
    for run in sorted(found, key=lambda run: (run.value, -len(run.notes), run.voice)):
        if all(run.end <= other.start or other.end <= run.start for other in chosen):
            chosen.append(run)
    return tuple(sorted(chosen, key=lambda run: run.start))


def _voice_runs(
    line: Sequence[Onset], voice: int, meter_at: Callable[[int], Meter]
) -> Iterator[Run]:
    notes = [only for onset in line if (only := _of_voice(onset, voice))]
    chain: list[Onset] = []
    for note in [*notes, None]:
        if note and chain and note.time == _end(chain[-1]) and note.length == chain[0].length:
            chain.append(note)
            continue
        if len(chain) >= FEWEST_NOTES:
            yield _run(chain, line, voice, meter_at)
        chain = [note] if note and note.length <= LONGEST_VALUE else []


def _of_voice(onset: Onset, voice: int) -> Onset | None:
    tones = tuple(tone for tone in onset.tones if tone.voice == voice)
    return replace(onset, tones=tones) if tones else None


def _end(onset: Onset) -> Quarters:
    return onset.time + onset.length


def _run(
    chain: Sequence[Onset], line: Sequence[Onset], voice: int, meter_at: Callable[[int], Meter]
) -> Run:
    first, value = chain[0], chain[0].length
    beat = meter_at(first.bar).beat
    within = first.metric % beat
    place = within / value
    start, end = first.time, chain[-1].time + value
    landing = next((onset for onset in line if onset.time == end), None)
    mine = {onset.time for onset in chain}
    others = tuple(
        onset
        for onset in line
        if start <= onset.time < end
        and (onset.time not in mine or any(tone.voice != voice for tone in onset.tones))
    )
    return Run(
        notes=tuple(chain),
        value=value,
        landing=landing,
        place=int(place) if place.denominator == 1 else 0,
        per_beat=beat / value,
        voice=voice,
        others=others,
    )
