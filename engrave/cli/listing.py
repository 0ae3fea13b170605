"""What ``engrave check`` prints: each passage with its drills, and the totals.

Enters: ``Checked``. Leaves: lines of plain text, families and variants by the names that a marks
file uses; in another language by theirs too. Makes nothing.
"""

from collections.abc import Iterator, Sequence
from itertools import groupby
from textwrap import shorten, wrap
from typing import TYPE_CHECKING

from engrave.errors import counted
from engrave.messages import ENGLISH, in_language
from engrave.music.ranges import measures_text
from engrave.music.units import fraction_text
from engrave.remarks import Remark

if TYPE_CHECKING:
    from engrave.music.drill import Drill, Ladder
    from engrave.pipeline.checking import Checked
    from engrave.pipeline.drilling import Drilled

WIDTH = 96
VARIANTS_WIDTH = 46
INDENT = "  "

Row = tuple[str, int, str, str]
"""A family's drills on one ladder: its name, their number, their variants, the ladder."""


def listing(checked: "Checked", language: str = "en", every_hand: bool = False) -> Iterator[str]:
    """The lines, columns aligned over all passages.

    ``every_hand``: hands are told of the whole score, not of the measures of the passages alone.
    """
    yield from _hands(checked, language, every_hand)
    tables = [_rows(drilled.drills, language) for drilled in checked.passages]
    width = max(len(row[0]) for rows in tables for row in rows)
    for drilled, rows in zip(checked.passages, tables, strict=True):
        yield _heading(drilled, language)
        trouble = " ".join(drilled.passage.trouble.split())
        if trouble:
            yield INDENT + shorten(trouble, WIDTH - len(INDENT), placeholder=" …")
        yield from _reasons(drilled, language)
        for row in rows:
            yield from _lines(row, width)
        yield ""
    yield _totals(checked, language)


def _hands(checked: "Checked", language: str, every_hand: bool) -> Iterator[str]:
    """The notes that go to another hand than their staff's, each kind in a paragraph."""
    from engrave.hands import remarks
    from engrave.words import say

    told = checked.handovers if every_hand else checked.handovers_in_passages
    others = sum(each.count for each in checked.handovers) - sum(each.count for each in told)
    elsewhere = [Remark.of("hands.elsewhere", count=others)] if others else []
    for remark in (*remarks(told, ()), *elsewhere):
        yield from wrap(
            say(remark, language), WIDTH, subsequent_indent=INDENT, break_on_hyphens=False
        )
    if checked.handovers:
        yield ""


def _reasons(drilled: "Drilled", language: str) -> Iterator[str]:
    """Why the passage gets these drills, where the tool chose them, and what it does not get."""
    from engrave.words import say, say_family, words

    chosen, left = (in_language(each, language) for each in ("Chosen", "Not made"))
    if drilled.why:
        yield from _wrapped(f"{chosen}: {'; '.join(say(why, language) for why in drilled.why)}.")
    unmade: dict[tuple[str, str], list[str]] = {}
    for each in drilled.unmade:
        name = say_family(each.family, language)
        name += f", {words(language)['hand'][each.hand]}" if each.hand else ""
        said = _variant(each.family, each.variant, language)
        unmade.setdefault((name, say(each.why, language)), []).append(said)
    for (name, reason), variants in unmade.items():
        yield from _wrapped(f"{left}: {name} ({', '.join(dict.fromkeys(variants))}): {reason}.")


def _wrapped(text: str) -> list[str]:
    return [INDENT + line for line in wrap(text, WIDTH - len(INDENT))]


def _heading(drilled: "Drilled", language: str) -> str:
    passage = drilled.passage
    hands = f"{passage.hands[0]} hand" if len(passage.hands) == 1 else "both hands"
    said = [f"{passage.id}: {in_language(measures_text(passage.measures), language)}", hands]
    if passage.status != "learning":
        said.append(passage.status)
    if drilled.numbered:
        said.append(counted(len(drilled.numbered), "drill"))
    if drilled.notices:
        said.append(counted(len(drilled.notices), "warning"))
    return ", ".join(in_language(each, language) for each in said)


def _rows(drills: Sequence["Drill"], language: str) -> list[Row]:
    """Drills that follow one another in family, hand and ladder share a row."""

    from engrave.words import words

    def kind(drill: "Drill") -> tuple[str, str]:
        hand = f", {words(language)['hand-alone'][drill.suffix]}" if drill.suffix else ""
        return f"{_family(drill.family, language)}{hand}", _ladder(drill.ladder, language)

    rows = []
    for (name, ladder), found in groupby(drills, kind):
        variants = [_variant(drill.family, drill.variant, language) for drill in found]
        rows.append((name, len(variants), ", ".join(variants), ladder))
    return rows


def _family(family: str, language: str) -> str:
    """``rhythms``; in another language its name, and the one to be written: the key."""
    from engrave.words import say_family

    said = say_family(family, language)
    return family if language == ENGLISH or said.lower() == family else f"{said} ({family})"


def _variant(family: str, variant: str, language: str) -> str:
    """``long-short``; in another language its name, and the key where one can be written."""
    from engrave.drills import FAMILIES
    from engrave.words import say_variant

    if language == ENGLISH:
        return variant
    said = say_variant(family, variant, language)
    is_asked_for = any(each.name == family and each.variants for each in FAMILIES)
    return f"{said} ({variant})" if is_asked_for else said


def _ladder(ladder: "Ladder", language: str) -> str:
    from engrave.words import words

    beat = words(language)["beat"][fraction_text(ladder.beat_unit)]
    marks = dict.fromkeys((ladder.marks[0], ladder.marks[-1]))
    return f"{beat} {'–'.join(map(str, marks))}"


def _lines(row: Row, width: int) -> Iterator[str]:
    name, count, variants, ladder = row
    first, *more = wrap(variants, VARIANTS_WIDTH, break_on_hyphens=False)
    yield f"{INDENT}{name:<{width}}  {count:>3}  {first:<{VARIANTS_WIDTH}}  {ladder}"
    for line in more:
        yield f"{INDENT}{'':<{width}}  {'':>3}  {line}"


def _totals(checked: "Checked", language: str) -> str:
    warnings = len(dict.fromkeys(checked.notices))
    said = [
        counted(len(checked.passages), "passage"),
        counted(checked.drill_count, "drill"),
        counted(warnings, "warning") if warnings else "no warnings",
    ]
    done = sum(mark.status == "done" for mark in checked.marks.passages)
    if done:
        said.append(f"{counted(done, 'passage')} done and left out")
    return ", ".join(in_language(each, language) for each in said)
