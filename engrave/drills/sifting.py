"""Which of the drills that could be made are worth making: no twins, no fragments, not too many.

Enters: the passage as written and drills in playing order. Leaves: those that stay, and of each
that does not a clause that says why. Knows no family.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from engrave.music.drill import Drill
from engrave.music.notes import Hand
from engrave.music.sheet import Sheet
from engrave.music.units import Quarters
from engrave.passage.model import Passage
from engrave.remarks import Remark

MOST = 6
MOST_BESIDE_OTHERS = 4
"""Of one family, where there is a second."""

FEWEST_ONSETS = 6
TO_AND_FRO = 2

_HEARD = frozenset({"accent", "strong-accent", "staccato", "staccatissimo", "tenuto"})

Struck = tuple[Quarters, Hand, frozenset[tuple[int, Quarters]], frozenset[str]]
"""When, by whom, which keys for how long, and how."""


@dataclass(frozen=True, slots=True)
class Dropped:
    """A drill that is not made, and why."""

    drill: Drill
    why: Remark


@dataclass(frozen=True, slots=True)
class Sifted:
    """The drills that stay, in playing order, and those that do not."""

    kept: tuple[Drill, ...]
    dropped: tuple[Dropped, ...] = ()


def heard(sheet: Sheet, hands: Sequence[Hand]) -> tuple[Struck, ...]:
    """What is played, in order: notes, lengths with ties joined, accents and dots."""
    moments: dict[tuple[Quarters, Hand], dict[int, Quarters]] = {}
    signs: dict[tuple[Quarters, Hand], set[str]] = {}
    sounding: dict[tuple[Hand, int, Quarters], tuple[Quarters, Hand]] = {}
    for time, _, event in sorted(sheet.timed(), key=lambda item: item[0]):
        if event.grace or event.hand not in hands:
            continue
        for tone in event.tones:
            key, end = tone.pitch.midi, time + event.length
            begun = sounding.pop((event.hand, key, time), None) if tone.tie_in else None
            place = begun or (time, event.hand)
            lengths = moments.setdefault(place, {})
            lengths[key] = max(lengths.get(key, end - place[0]), end - place[0])
            signs.setdefault(place, set())
            if not tone.tie_in:
                signs[place] |= set(event.articulations) & _HEARD
            if tone.tie_out:
                sounding[event.hand, key, end] = place
    return tuple(
        (*place, frozenset(moments[place].items()), frozenset(signs[place]))
        for place in sorted(moments, key=lambda place: (place[0], place[1].staff))
    )


def without_twins(passage: Passage, written: Drill, drills: Iterable[Drill]) -> Sifted:
    """The drills without those that are the passage, or another drill, over again."""
    known: dict[object, Drill] = {
        heard(written.sheet, hands): written for hands in (tuple(Hand), passage.hands)
    }
    kept: list[Drill] = []
    dropped: list[Dropped] = []
    for drill in drills:
        played = heard(drill.sheet, tuple(Hand))
        twin = known.setdefault(played, drill)
        if twin is drill:
            kept.append(drill)
        elif twin is written:
            dropped.append(Dropped(drill, Remark.of("never.passage")))
        else:
            dropped.append(Dropped(drill, Remark.of("never.twin")))
    return Sifted(tuple(kept), tuple(dropped))


def without_near_twins(drills: Sequence[Drill]) -> Sifted:
    """The drills without those that are one of more worth beside them but for a single note.

    Of several of one family that go to and fro between two strokes, the first and the last stay,
    beside others the last alone; none that another contains. What is tapped, or played on one key
    a hand, is a rhythm, and no part of a drill that has its keys.
    """
    beside: dict[tuple[str, Hand | None], list[Drill]] = {}
    for drill in drills:
        if drill.pitches == "source":
            beside.setdefault((drill.family, drill.suffix), []).append(drill)
    gone = set[str]().union(*map(_near_twins, beside.values()))
    return Sifted(
        tuple(drill for drill in drills if drill.id not in gone),
        tuple(Dropped(d, Remark.of("never.near-twin")) for d in drills if d.id in gone),
    )


def _near_twins(drills: Sequence[Drill]) -> set[str]:
    """The ids of those that go, of one family's drills for one hand."""
    played = {drill.id: heard(drill.sheet, tuple(Hand)) for drill in drills}
    strokes = {drill.id: _strokes(played[drill.id]) for drill in drills}
    to_and_fro = [drill.id for drill in drills if len(strokes[drill.id]) == TO_AND_FRO]
    gone = set(to_and_fro[:-1] if len(to_and_fro) < len(drills) else to_and_fro[1:-1])
    gone |= {one for one in to_and_fro if any(strokes[one] < other for other in strokes.values())}
    kept: list[str] = []
    for drill in sorted(drills, key=lambda each: each.worth):
        if drill.id in gone:
            continue
        if any(_but_for_one_note(played[drill.id], played[other]) for other in kept):
            gone.add(drill.id)
        else:
            kept.append(drill.id)
    return gone


def _strokes(played: Sequence[Struck]) -> frozenset[frozenset[int]]:
    """The different keys that are struck together."""
    return frozenset(frozenset(key for key, _ in stroke[2]) for stroke in played)


def _but_for_one_note(one: Sequence[Struck], other: Sequence[Struck]) -> bool:
    """Whether the same is struck at the same times, but for one key that is another or missing.

    What is struck alike and otherwise accented is not the same.
    """
    if [each[:2] for each in one] != [each[:2] for each in other]:
        return False
    pairs = list(zip(one, other, strict=True))
    if any(a[2] == b[2] and a[3] != b[3] for a, b in pairs):
        return False
    unlike = {(a[2], b[2]) for a, b in pairs if a[2] != b[2]}
    return len(unlike) == 1 and all(max(len(a - b), len(b - a)) <= 1 for a, b in unlike)


def fewer_than_six(drill: Drill) -> Remark | None:
    """Why a drill of a few notes is none."""
    if len(drill.source) >= FEWEST_ONSETS:
        return None
    return Remark.of("never.short", count=len(drill.source))


def ranked(drills: Sequence[Drill]) -> list[list[Drill]]:
    """Drills that belong together, the most worth first; of equals as they are played."""
    order = {drill.id: place for place, drill in enumerate(drills)}
    rows = sorted(drills, key=lambda drill: (drill.worth, order[drill.id]))
    return [list(group) for _, group in groupby(rows, key=lambda d: (d.worth, d.suffix))]


def at_most(drills: Sequence[Drill], most: int) -> Sifted:
    """The drills that are most worth their place; those that belong together stay together."""
    kept: list[Drill] = []
    for group in ranked(drills):
        if len(kept) + len(group) <= most:
            kept += group
    return Sifted(
        tuple(drill for drill in drills if drill in kept),
        tuple(Dropped(drill, Remark.of("never.limit")) for drill in drills if drill not in kept),
    )
