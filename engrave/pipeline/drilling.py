"""From passages to drills: the families asked for, or those that suit.

Enters: a ``Passage``. Leaves: its drills, and notices about what was refused. Knows no paper.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from engrave.errors import EngraveError, Mistakes, Notice
from engrave.fingering import Unmet
from engrave.marks.model import EVERYTHING, DrillRequest, MarkedTempo
from engrave.messages import notice
from engrave.music.drill import Drill
from engrave.music.notes import Hand
from engrave.music.ranges import measures_text
from engrave.music.tempo import BEAT_UNITS, asked_beat, beat_name, can_be_counted, ladder
from engrave.music.values import UnprintableError
from engrave.passage.held_over import noticed
from engrave.passage.marked_fingers import scores_left_out
from engrave.passage.model import Passage
from engrave.passage.onsets import onsets
from engrave.passage.unmet_rules import unmet_rules, unmet_told
from engrave.remarks import Remark

if TYPE_CHECKING:
    from engrave.drills import Family
    from engrave.drills.choosing import Chosen
    from engrave.drills.family import Made


MOST_ONSETS = 20_000
"""Of one passage: about a minute's work."""


@dataclass(frozen=True, slots=True)
class Unmade:
    """A drill that the tool chose not to make: what it would be, whose hand's, and why not."""

    family: str
    variant: str
    hand: Hand | None
    why: Remark


@dataclass(frozen=True, slots=True)
class Drilled:
    """A passage with its drills; the first is the passage as written.

    ``why`` says why it gets these drills, where nobody asked for them, and ``unmade`` which it does
    not. ``refused`` are the families that left something out,
    and what they say of it; ``notes`` are the fingering notes; ``broken`` are the rules that its
    suggested fingers break; ``tempo`` is what the marks say of its tempo.
    """

    passage: Passage
    drills: tuple[Drill, ...]
    refused: tuple[tuple[str, Remark], ...] = ()
    notes: tuple[Remark, ...] = ()
    broken: Mapping[Hand, tuple[Unmet, ...]] = field(default_factory=dict)
    tempo: MarkedTempo = field(default_factory=MarkedTempo)
    why: tuple[Remark, ...] = ()
    unmade: tuple[Unmade, ...] = ()

    @property
    def written(self) -> Drill:
        """The passage as written."""
        return self.drills[0]

    @property
    def numbered(self) -> tuple[Drill, ...]:
        """The drills that have a number in the booklet."""
        return self.drills[1:]

    @property
    def notices(self) -> tuple[Notice, ...]:
        """What was refused, where it was asked for, and what is odd about the tempo."""
        asked = {request.family: request.source for request in self.passage.requests or ()}
        refused = (
            notice(remark, asked.get(family) or self.passage.source)
            for family, remark in self.refused
        )
        return (
            *self._tempo_notices(),
            *(notice(remark, self.passage.source) for remark in noticed(self.passage)),
            *self._fingers_left_out(),
            *unmet_told(self.passage, self.broken),
            *refused,
        )

    def _fingers_left_out(self) -> Iterator[Notice]:
        """Fingers that the score prints and no hand can take."""
        for hand in self.passage.hands:
            printed = onsets(self.passage.sheet, hand)
            for onset in scores_left_out(self.passage.lines[hand], printed):
                fingers = [str(tone.finger.number) if tone.finger else "." for tone in onset.tones]
                remark = Remark.of(
                    "fingering.score-left-out",
                    hand=hand,
                    measure=onset.measure,
                    fingers="-".join(fingers),
                    keys=onset.pitches,
                )
                yield notice(remark, self.passage.source)

    def _tempo_notices(self) -> Iterator[Notice]:
        beat, own = self.passage.goal.beat, ladder(self.passage.goal)
        meters = tuple(dict.fromkeys(bar.meter for bar in self.passage.sheet.bars))
        if self.tempo.beat and not any(can_be_counted(beat, meter) for meter in meters):
            fitting = [name for name, unit in BEAT_UNITS.items() if can_be_counted(unit, meters[0])]
            yield Notice(
                f"no {beat_name(beat)} can be counted in measures of {meters[0]}: "
                f"there the beat is one of {', '.join(fitting)}",
                self.tempo.beat.source,
            )
        if self.tempo.reached and own.reached is None:
            first = float(own.marks[0] * own.beat_unit / beat)
            yield Notice(
                f"no mark is reached: {float(self.tempo.reached.value):g} is below the first, "
                f"{first:g}, which is half the goal unless a start is named",
                self.tempo.reached.source,
            )
        elif self.tempo.reached and self.tempo.reached.value * beat / own.beat_unit < own.marks[-1]:
            mark = self.tempo.reached.value * beat / own.beat_unit
            if mark not in own.marks:
                yield Notice(
                    f"{float(mark):g} is no mark of the passage, which has "
                    f"{' '.join(map(str, own.marks))}: {own.reached} is ticked, the next below",
                    self.tempo.reached.source,
                )


def all_drills(passage: Passage) -> Drilled:
    """All drills of a passage; raises ``Mistakes`` with every family that finds nothing to do.

    Also where they would be more than anybody prints. The passage as written comes first. Where
    nothing was asked, what the passage needs decides; a warm-up is played as written and no more.
    """
    from engrave.drills import FAMILIES
    from engrave.drills.choosing import choose, everything

    as_written, *others = FAMILIES
    requests = passage.requests
    written = as_written.unasked(passage).drills[0]
    if passage.status == "warm-up":
        return _drilled(passage, [written])
    if requests is None:
        return _drilled(passage, [written], choose(passage, written, others))
    if any(request.family == EVERYTHING for request in requests):
        return _drilled(passage, [written], everything(passage, written, others))
    return _asked(passage, requests, FAMILIES)


def _drilled(passage: Passage, drills: Sequence[Drill], chosen: "Chosen | None" = None) -> Drilled:
    """The passage with what was chosen for it; raises ``Mistakes`` where that is endless."""
    every = (*drills, *(chosen.drills if chosen else ()))
    _refuse_endless(passage, every, [])
    return _noted(
        passage,
        every,
        refused=chosen.refused if chosen else (),
        why=chosen.why if chosen else (),
        unmade=tuple(
            Unmade(each.drill.family, each.drill.variant, each.drill.suffix, each.why)
            for each in chosen.dropped
        )
        if chosen
        else (),
    )


def _asked(
    passage: Passage, requests: Sequence[DrillRequest], families: "Sequence[Family[Any]]"
) -> Drilled:
    """The families that the teacher names, in the order of the list, the passage as written first.

    The order is the teacher's: who writes the chain before the rhythms has it practised so.
    """
    from engrave.drills.sifting import without_twins

    by_name = {family.name: family for family in families}
    first = families[0]
    asked = {first.name: DrillRequest(first.name, first.options())}
    asked |= {request.family: request for request in requests}
    drills: list[Drill] = []
    refused: list[tuple[str, Remark]] = []
    errors: list[EngraveError] = []
    for name, request in asked.items():
        try:
            made = _made(passage, request, by_name[name])
        except Mistakes as mistakes:
            errors += mistakes.errors
            continue
        errors += _beyond_goals(request, made.drills)
        drills += made.drills
        _refuse_endless(passage, drills, errors)
        refused += [(name, remark) for remark in made.refused]
    if errors:
        raise Mistakes(errors)
    # A hand alone that the teacher names is none of the passage, which is printed with both.
    sifted = without_twins(replace(passage, hands=tuple(Hand)), drills[0], drills[1:])
    refused += [
        (each.drill.family, Remark.of("drills.twin", name=each.drill.family, why=each.why))
        for each in sifted.dropped
    ]
    return _noted(passage, (drills[0], *sifted.kept), refused=tuple(refused))


def _made(passage: Passage, request: DrillRequest, family: "Family[Any]") -> "Made":
    """What a family makes as it is asked to; ``Mistakes`` with the place of the request."""
    from engrave.drills.family import Made, unprintable

    try:
        return family.make(passage, request.options)
    except (EngraveError, Mistakes) as mistake:
        errors = mistake.errors if isinstance(mistake, Mistakes) else [mistake]
        place = request.source or passage.source
        raise Mistakes([error.at(place) for error in errors]) from None
    except UnprintableError as reason:
        return Made((), (unprintable(family, reason),))


def _refuse_endless(
    passage: Passage, drills: Sequence[Drill], errors: Sequence[EngraveError]
) -> None:
    if sum(len(each.written) for each in drills) > MOST_ONSETS:
        raise Mistakes([*errors, _endless(passage, len(drills))])


def _endless(passage: Passage, count: int) -> EngraveError:
    return EngraveError(
        f"the drills of {measures_text(passage.measures)} are endless: after {count} of them there "
        f"are more than {MOST_ONSETS:,} onsets to engrave",
        passage.source,
        "mark the measures that give trouble, or ask for fewer families",
    )


def _beyond_goals(request: DrillRequest, drills: Sequence[Drill]) -> Iterator[EngraveError]:
    """Tell marks of the family's own that lie above the goal of every one of its drills."""
    options = request.options
    ladders = [each.ladder for each in drills]
    goals = {round(each.marks[-1] * each.beat_unit / asked_beat(each)) for each in ladders}
    fastest = max(goals, default=0)
    reached = options.reached.mark.value if options.reached else None
    for name, mark in (("start", options.start), ("reached", reached)):
        if mark is not None and goals and mark > fastest:
            whose = "of its fastest drill" if len(goals) > 1 else "of the drill"
            yield EngraveError(
                f"{request.family}: {name} {float(mark):g} is above the goal {whose}, {fastest}",
                options.place(name),
                "a family's marks count its own beats: take a lower one, or give the family a goal",
            )


def _noted(passage: Passage, drills: tuple[Drill, ...], **more: Any) -> Drilled:
    """The passage with its drills, and what is to be said of its fingers."""
    from engrave.passage.fingering_notes import fingering_notes

    lines, broken = {hand: passage.lines[hand] for hand in passage.hands}, unmet_rules(passage)
    notes = fingering_notes(lines, passage.stretch_mm, broken)
    return Drilled(passage, drills, notes=notes, broken=broken, **more)
