"""What every drill family is, and what families share: drills, sources, the passage's frame.

Enters: a ``Passage`` and the teacher's options. Leaves: ``Made``, the drills and what had to be
refused. Knows no family.
"""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Generic, TypeVar

from engrave.drills.barring import Written
from engrave.drills.needs import Need
from engrave.drills.signs import named, signs_of
from engrave.errors import EngraveError, Source
from engrave.marks.options import Options as Options
from engrave.marks.options import option as option
from engrave.music.drill import Drill, Ladder, SourceNote
from engrave.music.notes import Hand
from engrave.music.onset import Onset
from engrave.music.ranges import measures_text
from engrave.music.sheet import Clef, Direction, KeySignature, Meter, Sheet, Tone
from engrave.music.tempo import Goal, ladder
from engrave.music.units import Quarters
from engrave.music.values import UnprintableError
from engrave.passage.model import Passage
from engrave.passage.runs import Run, runs
from engrave.remarks import Remark

Own = TypeVar("Own", bound=Options)


@dataclass(frozen=True, slots=True)
class Made:
    """What a family made of a passage, and in words what it could not make, and why."""

    drills: tuple[Drill, ...]
    refused: tuple[Remark, ...] = ()


@dataclass(frozen=True, slots=True)
class Family(Generic[Own]):
    """One way to practise, and all that the rest of the program knows of it.

    ``options`` is the class of what the marks file can say of it, its defaults what holds where
    nothing is said. ``make`` raises ``EngraveError`` when nothing of the passage can be drilled
    this way, at the option that is to blame, if one is, or ``Mistakes`` where there are several.
    Unasked, a passage gets the families whose ``need`` weighs most; ``steps_in`` tells whether this
    one fills up where there is no more to teach: 0 never, 1 where it can, more where there would be
    no drill else, the least first. ``never`` says why a drill is not worth making. ``variants`` are
    those that its option of that name can ask for.
    """

    name: str
    make: Callable[[Passage, Own], Made]
    options: type[Own]
    need: Callable[[Passage], Need | None] = lambda _: None
    never: Callable[[Drill], Remark | None] = lambda _: None
    steps_in: Callable[[Passage], int] = lambda _: 0
    variants: tuple[str, ...] = ()

    def unasked(self, passage: Passage) -> Made:
        """What it makes where the marks file says nothing of it."""
        return self.make(passage, self.options())


def drill_of(
    passage: Passage,
    options: Options,
    name: tuple[str, str],
    hands: Sequence[Hand],
    sheet: Sheet,
    source: Iterable[SourceNote],
    *,
    of: Hand | None = None,
    factor: Fraction = Fraction(1),
    beat: Quarters | None = None,
    counted_in: Meter | None = None,
    worth: int = 0,
    remarks: Iterable[Remark] = (),
    left_out: Iterable[Remark] = (),
    on_purpose: Collection[str] = (),
    ticked: bool = False,
) -> Drill:
    """A drill of the passage; ``name`` is its family and variant.

    ``of`` is the hand that its id names where the passage is for both. Its ladder is that of the
    passage, unless it goes ``factor`` times as many of its own ``beat`` in the same time;
    ``counted_in`` is the meter that has such beats, where it is not that in which it is written.
    ``worth`` 0 is the last of its family to be left out; those of one worth go together.
    ``left_out`` are notes of the passage that it drops; which signs at those it plays it does not
    print is seen here, but for the kinds that it changes ``on_purpose``.
    ``ticked``: what was reached in the passage was reached in this drill.
    """
    beat, meter = beat or passage.goal.beat, counted_in or sheet.bars[0].meter
    source = tuple(source)
    signs = signs_of(passage, source, sheet, on_purpose)
    dropped = named(sign for sign in signs if not sign.kept)
    return Drill(
        passage=passage.id,
        family=name[0],
        variant=name[1],
        hands=tuple(hands),
        sheet=sheet,
        ladder=_ladder(passage, options, factor, beat, meter, ticked),
        source=source,
        written=_played(sheet),
        worth=worth,
        suffix=of if len(passage.hands) > 1 else None,
        remarks=tuple(remarks),
        left_out=(*dropped, *left_out),
        signs=signs,
    )


def runs_by_hand(passage: Passage, family: str) -> Mapping[Hand, tuple[Run, ...]]:
    """The runs of every marked hand that has some; raises the error of a passage without."""
    by_hand = {hand: here for hand in passage.hands if (here := runs_of(passage, hand))}
    if not by_hand:
        raise no_runs(passage, family)
    return by_hand


def nothing_to_drill(
    passage: Passage, family: str, reason: str, hint: str, source: Source | None = None
) -> EngraveError:
    """The error for a family that finds nothing in a passage; ``source``: an option is to blame."""
    return EngraveError(
        f"{family}: nothing to drill in {measures_text(passage.measures)}: {reason}", source, hint
    )


def unprintable(family: Family[Any], reason: UnprintableError) -> Remark:
    """What is said of a family of which nothing can be printed."""
    return Remark.of("drills.unprintable", name=family.name, reason=reason.told)


def no_runs(passage: Passage, family: str) -> EngraveError:
    """The error for a family of runs in a passage without them."""
    hint = f"drop {family} from this passage's drills, or widen its measures"
    for hand in Hand:
        if hand not in passage.hands and runs_of(passage, hand):
            hint = f"the {hand} hand has one: hand: {hand}; or {hint}"
    return nothing_to_drill(
        passage, family, "no run of four or more even notes, an eighth or shorter", hint
    )


def runs_of(passage: Passage, hand: Hand) -> tuple[Run, ...]:
    """The runs of a hand, each in the meter it starts in; what only repeats is none."""
    every = runs(passage.lines[hand], lambda bar: meter_at(passage, bar))
    return tuple(run for run in every if not run.repeats)


def source_note(onset: Onset, tones: Sequence[int] | None = None) -> SourceNote:
    """The onset as the manifest lists it; ``tones`` are the indices kept (default: all)."""
    kept = onset.tones if tones is None else [onset.tones[index] for index in tones]
    return SourceNote(
        onset.measure,
        onset.offset,
        onset.hand,
        tuple(tone.pitch for tone in kept),
        tuple(tone.finger for tone in kept),
    )


def written_note(
    passage: Passage,
    onset: Onset,
    source: int,
    time: Quarters,
    length: Quarters,
    articulations: tuple[str, ...] = (),
) -> Written:
    """The onset, all of its tones, at another time and length, in the clef of its place.

    ``source`` is its index in the drill's source.
    """
    return Written(
        time=time,
        length=length,
        tones=tuple(Tone(tone.pitch, tone.finger) for tone in onset.tones),
        hand=onset.hand,
        source=(source,),
        measure=onset.measure,
        articulations=articulations,
        clef=clef_at(passage, onset.staff, onset.time),
    )


def _played(sheet: Sheet) -> tuple[tuple[int, ...], ...]:
    """For every onset of a drill in order, both hands together, the source indices it plays."""
    moments: dict[Quarters, tuple[int, ...]] = {}
    for time, _, event in sheet.timed():
        if event.source:
            moments[time] = tuple(sorted({*moments.get(time, ()), *event.source}))
    return tuple(moments[time] for time in sorted(moments))


def _ladder(
    passage: Passage,
    options: Options,
    factor: Fraction,
    beat: Quarters,
    meter: Meter,
    ticked: bool = False,
) -> Ladder:
    """The passage's ladder for a drill that goes ``factor`` times as many of its own ``beat``.

    What was reached in the passage is reached in a drill only where that is ``ticked``: a run that
    was clean as written was not played in long and short notes.

    ``reached``, ``goal``, ``start`` and ``step`` of the drill's own options win; they are in the
    drill's beat. Raises ``EngraveError`` for a goal that no metronome counts.
    """
    goal = passage.goal.scaled(factor, beat)
    wanted = Goal(
        beat,
        options.goal or goal.per_minute,
        options.start or goal.start,
        options.step or goal.step,
        options.reached.mark.value if options.reached else goal.reached if ticked else None,
        beat_stands=goal.beat_stands,
    )
    try:
        return ladder(wanted, meter, derived=factor != 1 and options.goal is None)
    except EngraveError as error:
        raise error.at(options.place("goal")) from None


def key_at(passage: Passage, bar: int) -> KeySignature:
    """The key signature in force in a bar of the passage."""
    return passage.sheet.bars[bar].key


def meter_at(passage: Passage, bar: int) -> Meter:
    """The meter in force in a bar of the passage."""
    return passage.sheet.bars[bar].meter


def clef_at(passage: Passage, staff: int, time: Quarters) -> Clef | None:
    """The clef in force on a staff at ``time`` quarters from the start of the passage."""
    clef = None
    for start, bar in zip(passage.sheet.starts, passage.sheet.bars, strict=True):
        for change in bar.clefs:
            if change.staff == staff and start + change.offset <= time:
                clef = change.clef
    return clef


def dynamics_at(
    passage: Passage, onset: Onset, before: Onset | None = None
) -> tuple[Direction, ...]:
    """The dynamics printed at an onset, on the staff it is read from; else the last of those that
    stand at a rest, after the onset ``before``."""
    since = before.time if before else Fraction(-1)
    found = [
        (start + sign.offset, sign)
        for start, bar in zip(passage.sheet.starts, passage.sheet.bars, strict=True)
        for sign in bar.directions
        if sign.kind == "dynamic"
        and sign.staff == onset.staff
        and since < start + sign.offset <= onset.time
    ]
    last = max((time for time, _ in found), default=None)
    return tuple(sign for time, sign in found if time == last)
