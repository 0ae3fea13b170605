"""Marks files as they should not be: at random, but the same for the same seed.

A third are marks that the schema takes and that ask at random for anything it has, so that they
come through to score, passages and drills; a third are such marks with values of other places,
types and sizes in their tree; a third are the demo's own text with words, lines and bytes broken.
"""

import json
import random
from collections.abc import Callable
from copy import deepcopy
from pathlib import Path
from typing import Any

from engrave.drills import OPTIONS
from engrave.drills.accents import VARIANTS
from engrave.drills.patterns import PATTERNS
from engrave.marks.options import readers_of
from tests.robustness.broken_text import WORDS, broken_text

Tree = Any
"""What JSON can hold; JSON is YAML, so that it is written as such."""

DEMO = Path(__file__).parents[2] / "scores" / "lantern-rondo.yaml"
MEASURES, BEATS = 100, 2
"""Of the demo: measures 0 to 100, two beats in each."""

VALUES: tuple[Tree, ...] = (
    *WORDS, None, True, False, 0, -1, 1, 3, 7, 1e300, 10**30, 0.5, [], {}, [[]], "", " ", "x" * 400,
    "\u00e4" * 300, "a\nb", ["rhythms"], {"right": "1 2"}, {"goal": 60},
)  # fmt: skip


def broken_marks(chance: random.Random) -> bytes:
    """The bytes of one marks file."""
    way = chance.randrange(3)
    if way == 0:
        return _written(asked(chance), chance)
    if way == 1:
        tree = asked(chance)
        for _ in range(chance.choice((1, 1, 2, 3))):
            tree = _changed(tree, chance)
        return _written(tree, chance)
    return broken_text(DEMO.read_text("utf-8"), chance)


def _written(tree: Tree, chance: random.Random) -> bytes:
    indent = chance.choice((None, 1, 2))
    return json.dumps(tree, indent=indent, ensure_ascii=chance.random() < 0.1).encode(
        "utf-8", "surrogatepass"
    )


def asked(
    chance: random.Random, first: int = 0, last: int = MEASURES, score: str = "lantern-rondo"
) -> dict[str, Tree]:
    """Marks that the schema takes, for measures ``first`` to ``last`` of a score."""
    hand = chance.choice(("right", "left", "both"))
    begin = chance.randint(first, last)
    end = min(begin + chance.choice((0, 0, 1, 1, 2, 3, 7)), last)
    passage: dict[str, Tree] = {"measures": _range(begin, end, chance), "hand": hand}
    if chance.random() < 0.6:
        passage["drills"] = _drills(begin, end, chance)
    if chance.random() < 0.3:
        passage["fingering"] = _fingering(hand, begin, end, chance)
    if chance.random() < 0.3:
        passage["tempo"] = _tempo(chance)
    for key in ("trouble", "remarks", "private"):
        if chance.random() < 0.2:
            passage[key] = chance.choice(("<b>x</b>", "word " * 200, "ä\n\nb", "{{ 1 }}", "𝄞 💩"))
    tree: dict[str, Tree] = {"score": f"{score}.musicxml", "passages": [passage]}
    if chance.random() < 0.3:
        tree["tempo"] = _tempo(chance)
    if chance.random() < 0.3:
        tree["student"] = {"stretch_cm": chance.choice((12, 15.5, 20, 24, 30))}
    if chance.random() < 0.2:
        tree |= {"performance": "2027-03-14", "language": chance.choice(("en", "de"))}
    return tree


def _range(begin: int, end: int, chance: random.Random) -> str:
    def place(measure: int) -> str:
        return f"{measure}.{chance.randint(1, BEATS)}" if chance.random() < 0.4 else f"{measure}"

    return place(begin) if begin == end else f"{place(begin)}-{place(end)}"


def _drills(begin: int, end: int, chance: random.Random) -> list[Tree]:
    families = chance.sample(sorted(OPTIONS), chance.choice((1, 1, 1, 1, 2, 2, 3, 11)))
    return [{family: _options(family, begin, end, chance)} for family in families]


def _options(family: str, begin: int, end: int, chance: random.Random) -> Tree:
    def some(of: tuple[Tree, ...] | range) -> list[Tree]:
        return chance.sample(of, chance.randint(1, min(3, len(of))))

    variants = VARIANTS if family == "accents" else tuple(PATTERNS)
    makers: dict[str, Callable[[], Tree]] = {
        "reached": lambda: _reached(chance),
        "goal": lambda: chance.choice((60, 66, 90.5, 208, 600)),
        "start": lambda: chance.choice((10, 40, 57, 600)),
        "step": lambda: chance.randint(1, 10),
        "variants": lambda: some(variants),
        "patterns": lambda: [[chance.choice((1, 1, 2, 3, 4, 5, 16)) for _ in range(n)] for n in
                             some(range(2, 13))],
        "together": lambda: chance.random() < 0.7,
        "sizes": lambda: some(range(1, 17)),
        "steps": lambda: some(range(1, 3 if family == "blocks" else 5)),
        "at": lambda: [_range(begin, end, chance) for _ in range(chance.choice((1, 1, 2)))],
        "by": lambda: chance.choice(("beat", "measure")),
        "direction": lambda: chance.choice(("forward", "backward", "both")),
        "grow": lambda: chance.random() < 0.5,
    }  # fmt: skip
    options = readers_of(OPTIONS[family])
    return {name: makers[name]() for name in options if chance.random() < 1.6 / len(options)}


def _fingering(hand: str, begin: int, end: int, chance: random.Random) -> Tree:
    def words(hand: str) -> str:
        chord = "1-3-5" if hand == "right" else "5-3-1"
        kinds = (*"12345", *"." * 8, *((chord, chord[2:]) if chance.random() < 0.3 else ()))
        return " ".join(chance.choice(kinds) for _ in range(chance.choice((1, 2, 3, 8, 20))))

    def line(hand: str) -> dict[str, Tree]:
        return {
            f"{chance.randint(begin, end)}.{chance.randint(1, BEATS)}": words(hand)
            for _ in range(chance.choice((1, 1, 2)))
        }

    return {each: line(each) for each in ("right", "left")} if hand == "both" else line(hand)


def _reached(chance: random.Random) -> Tree:
    mark = chance.choice((10, 40, 50, 96, 600))
    return mark if chance.random() < 0.5 else {"mark": mark, "day": "2027-02-20"}


def _tempo(chance: random.Random) -> Tree:
    made: dict[str, Tree] = {
        "beat": chance.choice(("whole", "quarter", "dotted-quarter", "eighth", "16th")),
        "goal": chance.choice((10, 40, 66, 96.5, 120, 208, 600)),
        "start": chance.choice((10, 10, 40, 60)),
        "step": chance.randint(1, 10),
        "reached": _reached(chance),
    }
    return {key: made[key] for key in made if chance.random() < 0.5}


def _changed(tree: Tree, chance: random.Random) -> Tree:
    """The tree with one node replaced, lost, doubled, renamed, buried, or taken from elsewhere."""
    places = _places(tree)
    if not places:
        return tree
    holder, key = chance.choice(places)
    way = chance.randrange(6)
    if way == 0:
        holder[key] = deepcopy(chance.choice(VALUES))  # it may be changed in its turn
    elif way == 1:
        other, name = chance.choice(places)
        holder[key], other[name] = other[name], holder[key]
    elif way == 2:
        del holder[key]
    elif way == 3 and isinstance(holder, dict):
        holder[chance.choice((*WORDS, "measures", "hand", "tempo", "drills"))] = holder.pop(key)
    elif way == 4:
        for _ in range(chance.choice((1, 2, 50))):
            holder[key] = [holder[key]] if chance.random() < 0.5 else {"a": holder[key]}
    else:
        other, name = chance.choice(places)
        holder[key] = json.loads(json.dumps(other[name]))
    return tree if _is_finite(tree) else {"score": "lantern-rondo.musicxml"}


def _places(tree: Tree) -> list[tuple[Tree, Any]]:
    """All nodes below the root, each as what holds it and the key or index there."""
    keys = list(tree) if isinstance(tree, dict) else list(range(len(tree)))
    found = []
    for key in keys:
        found.append((tree, key))
        if isinstance(tree[key], dict | list):
            found += _places(tree[key])
    return found


def _is_finite(tree: Tree) -> bool:
    """Whether no swap has put a node inside itself."""
    try:
        json.dumps(tree)
    except (ValueError, RecursionError):
        return False
    return True
