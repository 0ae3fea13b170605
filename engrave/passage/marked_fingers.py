"""A finger on every key of a hand's onsets: the teacher's, then the score's, then computed ones.

Enters: onsets of one hand, the fingering marks of their passage, where it lies in the score.
Leaves: the onsets with fingers, and what is wrong with the teacher's. Knows nothing of drills.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from engrave.errors import EngraveError, Source, Together, counted
from engrave.fingering import FingeringError, finger
from engrave.fingering.hand import obstacles
from engrave.fingering.holding import holds
from engrave.marks.model import FingeringMark, PassageMark
from engrave.music.notes import Finger, FingerOrigin, Hand
from engrave.music.onset import Onset, Struck
from engrave.music.ranges import MeasureRange
from engrave.music.sheet import Moment, Sheet
from engrave.music.units import Quarters
from engrave.passage.model import HeldOver
from engrave.passage.surroundings import Surroundings
from engrave.score import Score, locate


@dataclass(frozen=True, slots=True)
class Ground:
    """Where fingers are put: the passage's ``sheet``, cut from ``score`` at ``start``; the hand.

    ``surroundings``: what the hand plays before and after; ``held_over``: what it has down.
    """

    score: Score
    sheet: Sheet
    start: Moment
    hand: Hand
    stretch_mm: float
    surroundings: Surroundings = field(default_factory=Surroundings)
    held_over: tuple[HeldOver, ...] = ()

    def time_of(self, moment: Moment) -> Quarters:
        """Quarters from the start of the passage to a moment of the score."""
        starts = self.score.sheet.starts
        return starts[moment.bar] + moment.offset - starts[self.start.bar] - self.start.offset

    def place_of(self, onset: Onset) -> str:
        """``41.2``: the measure and beat of an onset, as a marks file names them."""
        return onset.place_in(self.sheet)


@dataclass(slots=True)
class _Fingered:
    """The line as far as the teacher has fingered it, and the word that fingered an onset."""

    line: list[Onset]
    words: dict[int, Source] = field(default_factory=dict)


def fingered(
    line: Sequence[Onset],
    mark: PassageMark,
    ground: Ground,
    quarters_per_minute: Fraction,
) -> tuple[Onset, ...]:
    """The line with a finger on every tone; raises ``Mistakes`` with all in the marked ones."""
    so_far, told = _Fingered(list(line)), Together()
    for written in mark.fingering:
        with told:
            if written.hand is ground.hand:
                _apply(written, so_far, ground)
    told.raise_all()
    try:
        fingers = _completed(so_far, ground, quarters_per_minute)
    except FingeringError as error:
        raise _impossible(error, so_far, mark, ground) from None
    return tuple(
        onset.fingered(numbers, FingerOrigin.COMPUTED)
        for onset, numbers in zip(so_far.line, fingers, strict=True)
    )


def _completed(
    so_far: _Fingered, ground: Ground, quarters_per_minute: Fraction
) -> Sequence[Sequence[int]]:
    """A finger on every tone; those of the score that no hand can take are left out."""
    while True:
        try:
            return _in_view(so_far.line, ground, quarters_per_minute)
        except FingeringError as error:
            onset = so_far.line[error.onset]
            bare = replace(onset, tones=tuple(map(_without_scores, onset.tones)))
            if bare == onset:
                raise
            so_far.line[error.onset] = bare


def _without_scores(tone: Struck) -> Struck:
    is_scores = tone.finger is not None and tone.finger.origin is FingerOrigin.SCORE
    return replace(tone, finger=None) if is_scores else tone


def scores_left_out(line: Sequence[Onset], printed: Sequence[Onset]) -> Iterator[Onset]:
    """The onsets as ``printed`` of which the score's own fingers did not come into the line."""
    for onset, own in zip(line, printed, strict=True):
        if any(
            had.finger and now.finger and now.finger.origin is FingerOrigin.COMPUTED
            for now, had in zip(onset.tones, own.tones, strict=True)
        ):
            yield own


def _in_view(
    line: Sequence[Onset], ground: Ground, quarters_per_minute: Fraction
) -> tuple[tuple[int, ...], ...]:
    """The line's fingers, chosen in view of what comes before and after.

    Fingers of the score outside the passage that no hand can take are not looked at.
    """
    if not line:
        return ()
    around, hand, stretch_mm = ground.surroundings, ground.hand, ground.stretch_mm
    for seen in (around, around.bare()):
        first, end = len(seen.before), len(seen.before) + len(line)
        try:
            whole = (*seen.before, *line, *seen.after)
            return finger(whole, hand, stretch_mm, quarters_per_minute)[first:end]
        except FingeringError as error:
            if first <= error.onset < end:
                raise FingeringError(error.message, error.onset - first, error.hint) from error
    raise AssertionError("nothing outside the passage has fingers")


def _impossible(
    error: FingeringError, so_far: _Fingered, mark: PassageMark, ground: Ground
) -> EngraveError:
    """The fingers that stand at an onset together, the score's among them, cannot be taken."""
    onset = so_far.line[error.onset]
    place = ground.place_of(onset)
    word = so_far.words.get(error.onset)
    if word:
        hint = "give every key a finger, low to high: for one left open the score's own stands"
    else:
        hint = f'the score has these; give others: fingering: {{"{place}": "{_dots(onset)}"}}'
    return EngraveError(
        f"{place}, {ground.hand} hand: {error.message}", word or mark.measures.source, hint
    )


def _dots(onset: Onset) -> str:
    numbers = (1, 3, 5) if len(onset.tones) == 3 else range(1, len(onset.tones) + 1)
    ordered = numbers if onset.hand is Hand.RIGHT else reversed(numbers)
    return "-".join(map(str, ordered))


def _apply(written: FingeringMark, so_far: _Fingered, ground: Ground) -> None:
    """Put the teacher's fingers on the onsets they belong to, from their place on."""
    try:
        first = _first_onset(written, so_far.line, ground)
    except EngraveError as error:
        raise error.at(written.source) from None
    told = Together()
    last = len(so_far.line) - first
    words = zip(written.words, written.changes, written.word_sources, strict=True)
    for number, (fingers, changes, source) in enumerate(words):
        with told:
            if number == last:
                raise _too_many(written, last, source)
            if number < last and fingers != (None,):
                _apply_word(first + number, fingers, changes, source, so_far, ground)
    told.raise_all()


def _apply_word(
    index: int,
    fingers: Sequence[int | None],
    changes: Sequence[int | None],
    source: Source,
    so_far: _Fingered,
    ground: Ground,
) -> None:
    if index in so_far.words:
        if tuple(fingers) != _numbers(so_far.line[index]):
            raise _twice(so_far, index, source, ground)
        return
    after = [then or finger for finger, then in zip(fingers, changes, strict=True)]
    wrong = _refusal(so_far.line[index], fingers, ground)
    wrong = wrong or _refusal(so_far.line[index], after, ground)
    if wrong:
        raise wrong.at(source)
    so_far.words[index] = source
    so_far.line[index] = _with_fingers(so_far.line[index], fingers, changes)


def _first_onset(written: FingeringMark, line: Sequence[Onset], ground: Ground) -> int:
    """The first onset of the beat from which the words count."""
    here = MeasureRange(written.measure, written.beat, written.measure, written.beat)
    time, end = map(ground.time_of, locate(ground.score, here))
    if not 0 <= time < ground.sheet.length:
        raise EngraveError(
            f"{here} is not inside the passage",
            hint="fingering starts at a beat of the passage's own measures",
        )
    first = next((onset.index for onset in line if onset.time >= time), len(line))
    if first < len(line) and line[first].time < end:
        return first
    if first < len(line):
        hint = f"its next onset is at {ground.place_of(line[first])}"
    elif line:
        hint = f"its last onset is at {ground.place_of(line[-1])}"
    else:
        hint = "it rests in the whole passage"
    raise EngraveError(f"the {ground.hand} hand strikes no key at {here}", hint=hint)


def _too_many(written: FingeringMark, left: int, source: Source) -> EngraveError:
    onsets = "1 onset is" if left == 1 else f"{left} onsets are"
    return EngraveError(
        f"{len(written.words)} words of fingering, but only {onsets} left in the passage",
        source,
        "one word an onset, none for rests and tied notes; a chord's fingers are joined by hyphens",
    )


def _twice(so_far: _Fingered, index: int, source: Source, ground: Ground) -> EngraveError:
    here, there = source, so_far.words[index]
    later, earlier = (here, there) if here > there else (there, here)
    onset = so_far.line[index]
    keys = " ".join(pitch.spelling for pitch in onset.pitches)
    return EngraveError(
        f"the onset {keys} at {ground.place_of(onset)} is fingered twice",
        later,
        f"first in line {earlier.line}, column {earlier.column}: its words reach as far as here",
    )


def _refusal(onset: Onset, fingers: Sequence[int | None], ground: Ground) -> EngraveError | None:
    """What is wrong with these fingers for this onset."""
    keys = " ".join(pitch.spelling for pitch in onset.pitches)
    if len(fingers) != len(onset.tones):
        hint = "one finger a key, low to high, joined by hyphens, as in 1-3-5; one word an onset"
        if ground.held_over and onset.time == 0:
            held = " ".join(p.spelling for each in ground.held_over for p in each.pitches)
            hint = f"held over from before the passage and struck anew here: {held}; {hint}"
        return EngraveError(
            f"{counted(len(fingers), 'finger')} for {counted(len(onset.tones), 'key')} ({keys}) "
            f"at {ground.place_of(onset)}",
            hint=hint,
        )
    reasons = obstacles(onset.pitches, fingers, ground.hand, ground.stretch_mm)
    if reasons and _can_be_held(onset, ground):
        return EngraveError(
            f"no hand takes {keys} at {ground.place_of(onset)} so: {'; '.join(reasons)}",
            hint="take others, or measure the student's hand anew: student: {stretch_cm: 21}",
        )
    return None


def _can_be_held(onset: Onset, ground: Ground) -> bool:
    """Whether any fingers can hold the onset's keys at once; else it is rolled, by whatever."""
    keys = tuple(sorted({pitch.midi for pitch in onset.pitches}))
    return holds(keys, ground.hand, ground.stretch_mm)


def _numbers(onset: Onset) -> tuple[int | None, ...]:
    return tuple(tone.finger.number if tone.finger else None for tone in onset.tones)


def _with_fingers(
    onset: Onset, fingers: Sequence[int | None], changes: Sequence[int | None]
) -> Onset:
    tones = tuple(
        replace(tone, finger=Finger(number, FingerOrigin.MARKS, then)) if number else tone
        for tone, number, then in zip(onset.tones, fingers, changes, strict=True)
    )
    return replace(onset, tones=tones)
