"""Every eight measures of real works as a passage, drilled by every family, every drill checked.

``python -m tests.sweep`` goes through all of it and prints the counts; ``--share 0.1 --seed 3``
takes a tenth of the passages, chosen by the seed; words choose works whose names contain them;
``--family bursts`` makes the drills of that one alone.
"""

import argparse
import json
import random
import re
import sys
import tempfile
import traceback
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from engrave.drills import FAMILIES, OPTIONS, Family, choosing, voices
from engrave.drills.patterns import PATTERNS
from engrave.errors import EngraveError, Mistakes
from engrave.marks import Marks, read_marks
from engrave.music.drill import Drill
from engrave.music.notes import Hand
from engrave.music.sheet import Sheet
from engrave.music.values import UnprintableError
from engrave.notation import musicxml
from engrave.passage.assembly import assemble
from engrave.passage.model import Passage
from engrave.pipeline.drilling import Drilled
from engrave.pipeline.manifest import DrillFiles, Whose, manifest
from engrave.score import Score, read_score
from engrave.sound import climb, midi
from engrave.words import LANGUAGES, say, say_family, say_variant
from tests.checks import sources, twins
from tests.checks.all_checks import music_findings
from tests.checks.figures import figure_findings
from tests.checks.heard import Promise, heard_findings
from tests.checks.manifest import drill_entry
from tests.works import ACCOMPANYING, SWEPT, Work

MEASURES = 8
SHOWN = 3
"""Findings of one drill that are told; what is wrong with one beam often is with all of them."""
MORE: dict[str, tuple[dict[str, object], ...]] = {
    "rhythms": (
        {"variants": tuple(PATTERNS), "patterns": ((3, 1, 2),)},
        {"variants": tuple(PATTERNS), "together": True},
    ),
}
"""Families that are swept with more than their defaults."""


@dataclass
class Counts:
    """What a sweep met; ``findings`` is to stay empty."""

    works: int = 0
    passages: int = 0
    drills: Counter[str] = field(default_factory=Counter)
    refusals: Counter[str] = field(default_factory=Counter)
    chosen: Counter[str] = field(default_factory=Counter)
    sizes: Counter[str] = field(default_factory=Counter)
    findings: list[str] = field(default_factory=list)

    def add(self, other: "Counts") -> None:
        self.works += other.works
        self.passages += other.passages
        self.drills.update(other.drills)
        self.refusals += other.refusals
        self.chosen += other.chosen
        self.sizes += other.sizes
        self.findings += other.findings


def sweep(work: Work, chosen: Iterable[int] | None = None, only: str | None = None) -> Counts:
    """One work; ``chosen`` are indices of its passages, ``only`` a family; all when None."""
    families = [family for family in FAMILIES if only in (None, family.name)]
    counts = Counts(works=1, drills=Counter({family.name: 0 for family in families}))
    with tempfile.TemporaryDirectory() as folder:
        path = work.write(Path(folder))
        names = list(sources.read_score(work.score, work.part).starts)
        path.write_text(path.read_text("utf-8") + passages(names), "utf-8")
        marks = read_marks(path, OPTIONS)
        score = read_score(marks.score.value, part=work.part or None, movement=None)
        reading = sources.read_score(work.score, work.part)
        for index in range(len(marks.passages)) if chosen is None else chosen:
            _sweep_passage(marks, score, index, families, reading, counts, Path(folder))
    return counts


def passages(names: Sequence[str]) -> str:
    """A passage for every eight measures, both hands."""
    ranges = [names[at : at + MEASURES] for at in range(0, len(names), MEASURES)]
    lines = [f"  - {{measures: {group[0]}-{group[-1]}, hand: both}}\n" for group in ranges]
    return "".join(lines)


def passages_of(work: Work) -> int:
    return -(-len(sources.read_score(work.score, work.part).starts) // MEASURES)


def _sweep_passage(
    marks: Marks,
    score: Score,
    index: int,
    families: Sequence[Family[Any]],
    reading: sources.ScoreReading,
    counts: Counts,
    folder: Path,
) -> None:
    mark = marks.passages[index]
    where = f"{marks.score.value.name} {mark.measures.value}"
    try:
        passage = assemble(mark, score, marks.student.stretch_mm)
    except Mistakes as mistakes:
        counts.refusals.update(f"passage: {_kind(error)}" for error in mistakes.errors)
        return
    counts.passages += 1
    counts.findings += [f"{where}: {finding}" for finding in _heads(passage)]
    if len(families) == len(FAMILIES):
        counts.findings += [f"{where}: {finding}" for finding in _unasked(passage, counts, folder)]
    for family in families:
        for options in MORE.get(family.name, ({},)):
            for drill in _make(passage, family, options, where, counts):
                counts.drills[family.name] += 1
                found = list(_check(drill, passage, marks, score, reading, folder))
                if len(found) > SHOWN:
                    found[SHOWN:] = [f"{drill.id}: {len(found) - SHOWN} findings more"]
                counts.findings += [f"{where}: {finding}" for finding in found]


SHORT = {"rhythms", "accents", "bursts", "staccato", "outline", "other-hand"}
"""Families of which a drill of fewer than six onsets is never made."""


def _unasked(passage: Passage, counts: Counts, folder: Path) -> Iterator[str]:
    """What the passage gets where nobody asks: three to six of two families, or a reason."""
    as_written, *others = FAMILIES
    written = as_written.unasked(passage).drills[0]
    found = choosing.choose(passage, written, others)
    counts.chosen.update(drill.family for drill in found.drills)
    reasons = ", ".join(sorted({why.key for why in found.why}))
    counts.sizes[f"{len(found.drills)} drills: {reasons}"] += 1
    if len(found.drills) > 6 or len({drill.family for drill in found.drills}) > 2:
        yield f"gets {[drill.id for drill in found.drills]}"
    if len(found.drills) < 3 and not any(why.key.startswith("why.no-more") for why in found.why):
        yield f"gets {[drill.id for drill in found.drills]} and no word why"
    for drills in (found.drills, choosing.everything(passage, written, others).drills):
        yield from _twins((written, *drills), folder)


def _twins(drills: Sequence[Drill], folder: Path) -> Iterator[str]:
    """Drills that are another one over again for the same hand, and fragments."""
    known: dict[object, str] = {}
    for drill in drills:
        path = folder / "twin.musicxml"
        path.write_bytes(musicxml(drill.sheet, title=drill.id))
        twin = known.setdefault((twins.played(path), drill.hand), drill.id)
        if twin != drill.id:
            yield f"{drill.id} is {twin} over again"
        if drill.family in SHORT and len(drill.source) < 6:
            yield f"{drill.id} has {len(drill.source)} onsets"


def _heads(passage: Passage) -> Iterator[str]:
    """Every note head stands in exactly one voice, one that two voices share in both."""
    for hand in passage.hands:
        found = voices.voices_of(passage, hand)
        if len(found) < 2:
            continue
        made = voices.make(passage, voices.VoiceOptions(steps=(1,))).drills
        mine = [drill for drill in made if drill.hands == (hand,)]
        printed = Counter(head for drill in mine for head in _heads_of(drill.sheet, hand))
        if printed != Counter(_heads_of(passage.sheet, hand)):
            yield f"the voices of the {hand} hand have other heads than the hand"


def _heads_of(sheet: Sheet, hand: Hand) -> Iterator[tuple[object, ...]]:
    for time, _, event in sheet.timed():
        if event.hand is hand and not event.grace:
            for tone in event.tones:
                yield time, event.length, tone.pitch, event.voice


def _make(
    passage: Passage, family: Family[Any], options: dict[str, object], where: str, counts: Counts
) -> Sequence[Drill]:
    try:
        made = family.make(passage, family.options(**options))
    except EngraveError as error:
        counts.refusals[f"{family.name}: {_kind(error)}"] += 1
        return ()
    except UnprintableError as reason:
        counts.refusals[f"{family.name}: {reason}"] += 1
        return ()
    except Exception:
        last = traceback.format_exc(limit=-2).strip()
        counts.findings.append(f"{where}: {family.name} {options} crashed: {last}")
        return ()
    counts.refusals.update(
        f"{remark.key} {dict(remark.values).get('reason', '')}" for remark in made.refused
    )
    return made.drills


def _kind(error: EngraveError) -> str:
    """An error's words without its numbers, so that like ones are counted together."""
    return re.sub(r"\d+[–-]?\d*", "N", error.message)


def _check(
    drill: Drill,
    passage: Passage,
    marks: Marks,
    score: Score,
    reading: sources.ScoreReading,
    folder: Path,
) -> Iterator[str]:
    file = f"{drill.id}.musicxml"
    try:
        (folder / file).write_bytes(musicxml(drill.sheet, title=drill.id))
        files = {drill.id: DrillFiles(file, (), len(drill.sheet.staves), 1)}
        for language in LANGUAGES:
            say_family(drill.family, language), say_variant(drill.family, drill.variant, language)
            for remark in (*drill.remarks, *drill.left_out):
                say(remark, language)
        pieces = manifest(Whose("", ()), marks, score, [Drilled(passage, (drill,), ())], files, {})
        raw = json.loads(b"".join(pieces))["drills"][0]
        entry = drill_entry(folder, raw)
        yield from music_findings(entry, reading)
        yield from figure_findings(entry, raw)
        played = midi(climb(drill.sheet, drill.ladder, drill.ladder.marks[:2], times=1), drill.id)
        promise = Promise(drill.ladder.beat_unit, drill.ladder.marks[:2], times=1)
        yield from heard_findings(played, folder / file, promise, raw)
    except Exception:
        yield f"{drill.id} crashed: {traceback.format_exc(limit=-2).strip()}"


def choose(works: Sequence[Work], share: float, seed: int) -> dict[str, list[int]]:
    """Which passages of which works a share takes, at least one."""
    every = [(work.name, index) for work in works for index in range(passages_of(work))]
    taken = random.Random(seed).sample(every, max(1, round(share * len(every))))
    return {
        work.name: sorted(index for name, index in taken if name == work.name) for work in works
    }


def _sweep_chosen(task: tuple[Work, list[int], str | None]) -> Counts:
    return sweep(*task)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("names", nargs="*")
    parser.add_argument("--share", type=float, default=1.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--family", choices=OPTIONS)
    parser.add_argument("--jobs", type=int, default=2)
    options = parser.parse_args()
    every = (*SWEPT, *ACCOMPANYING)
    works = [
        work for work in every if not options.names or any(n in work.name for n in options.names)
    ]
    if not works:
        names = ", ".join(work.name for work in every)
        parser.error(f"no work has such a name; there are {names}")
    chosen = choose(works, options.share, options.seed)
    tasks = [(work, chosen[work.name], options.family) for work in works if chosen[work.name]]
    counts = Counts()
    with ProcessPoolExecutor(options.jobs) as pool:
        for each in pool.map(_sweep_chosen, tasks):
            counts.add(each)
    print(f"{counts.works} works, {counts.passages} passages, {counts.drills.total()} drills")
    for title, counter in (
        ("drills", counts.drills),
        ("refused", counts.refusals),
        ("chosen unasked", counts.chosen),
        ("passages unasked", counts.sizes),
    ):
        print(f"\n{title}:")
        print("".join(f"  {count:5} {what}\n" for what, count in counter.most_common()), end="")
    print(f"\n{len(counts.findings)} findings")
    print("".join(f"  {finding}\n" for finding in counts.findings), end="")
    return 1 if counts.findings else 0


if __name__ == "__main__":
    sys.exit(main())
