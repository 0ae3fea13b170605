"""What every rule of the fingering costs, and where it comes from: the one table.

Enters: amounts by rule. Leaves: what they cost. Costs are relative: what costs one more is chosen
a third as often. One semitone is 165/12 mm. "Parncutt 1997" is the paper named in
``hand.SPANS``; "handbooks" are the scale and arpeggio tables; "common practice" has no source.
The weights are ``learned``, from printed fingerings, starting from those that stand here and held
to the handbooks; what binds whatever the model is not learned.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from engrave.fingering.learned import LEARNED

PAIRS = ("12", "13", "14", "15", "23", "24", "25", "34", "35", "45")
FINGERS = ("1", "2", "3", "4", "5")
BOTH = tuple(one + other for one in FINGERS for other in FINGERS)


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule: what it weighed before learning, a unit of what, and who says so.

    ``binding`` rules and those of what a hand cannot do keep their weight; ``least`` bounds what
    learning may make of the others.
    """

    start: float
    unit: str
    source: str
    least: float | None = None
    binding: bool = False


def _each(names: tuple[str, ...], prefix: str, start: float | dict[str, float], unit: str,
          source: str, least: float | None = None) -> dict[str, Rule]:  # fmt: skip
    """One rule for each of ``names``, ``{}`` in ``unit`` standing for it."""
    starts = start if isinstance(start, dict) else dict.fromkeys(names, start)
    return {
        f"{prefix}{name}": Rule(starts.get(name, 0.0), unit.format("–".join(name)), source, least)
        for name in names
    }


def _thumb_and_long(thumb: float, long: float) -> dict[str, float]:
    return {pair: thumb if pair[0] == "1" else long for pair in PAIRS}


_P3, _P1 = "Parncutt 1997, rule 3", "Parncutt 1997, rule 1"
_PRINTS, _COMMON = "printed fingerings", "common practice"

RULES: dict[str, Rule] = {
    # Between two neighbouring onsets, finger by finger.
    **_each(PAIRS, "spread-", _thumb_and_long(0.09, 0.134),
            "semitone that fingers {} are further apart than at rest", _P3),
    **_each(PAIRS, "cramped-", _thumb_and_long(0.262, 0.56),
            "semitone that fingers {} are closer than at rest", "Parncutt 1997, rule 2"),
    "relaxed-span": Rule(0.244, "semitone beyond the relaxed reach", _P3, 0.0),
    "stretch": Rule(0.34, "semitone beyond the comfortable reach", _P1, 0.0),
    "leap": Rule(0.02, "semitone beyond the practical reach", _COMMON, 0.0),
    **_each(FINGERS[1:], "pass-under-", {"2": 5.4, "3": 1.08, "4": 2.0, "5": 8.8},
            "thumb passed under finger {}", "handbooks", 0.0),
    **_each(FINGERS[1:], "pass-over-", {"2": 5.4, "3": 1.08, "4": 2.0, "5": 8.8},
            "finger {} passed over the thumb", "handbooks", 0.0),
    "pass-level": Rule(0.28, "pass from white to white, or black to black",
                       "Parncutt 1997, rule 12"),
    "pass-to-black": Rule(9.2, "pass with the thumb on black, the finger on white",
                          "Parncutt 1997, rule 12"),
    "pass-size": Rule(0.24, "semitone that the thumb passes", "handbooks", 0.0),
    "pass-stretch": Rule(0.34, "semitone that it passes beyond the practical reach", _P1, 0.0),
    "crossing": Rule(10.0, "crossing of two fingers without the thumb", _COMMON, 3.0),
    **_each(FINGERS, "same-finger-", 10.4, "finger {} that goes on to another key", _COMMON, 1.0),
    "same-finger-size": Rule(0.6, "semitone of such a move", _COMMON, 0.0),
    "shift": Rule(0.8, "finger that goes on with its whole chord", _COMMON, 0.0),
    "slide": Rule(9.4, "finger that slides from a black key to its neighbour", _COMMON, 6.0),
    "lift": Rule(6.0, "move for which the hand is lifted and set anew", _COMMON, 1.0),
    "lift-size": Rule(0.1, "semitone of such a move", _COMMON, 0.0),
    "repeat": Rule(4.0, "quick repetition by one finger", _COMMON, 0.0),
    "chord-again": Rule(
        4.0, "chord struck again with other fingers", _COMMON, 3.0
    ),
    "repeat-inwards": Rule(0.8, "change to a finger nearer the thumb on a repeated key", _COMMON),
    "repeat-outwards": Rule(2.4, "change to a finger further from the thumb on a repeated key",
                            _COMMON),
    "repeat-unchanged": Rule(4.0, "same finger on a key struck again and again, quickly", _COMMON,
                             4.0),
    "repeat-changed": Rule(6.0, "other finger on a key struck again and again without haste",
                           _COMMON, 6.0),
    "repeat-skipping": Rule(4.0, "change on a key struck again and again that is not to the next"
                            " finger", _COMMON, 4.0),
    "repeat-out-of-turn": Rule(2.0, "finger on such a key whose turn it is not", _COMMON, 2.0),
    "trill-pair": Rule(1.0, "stroke of a trill by other fingers than 1–3, 2–3 or 2–4", _COMMON,
                       1.0),
    "thirds-by-one": Rule(5.0, "finger that goes on with the next third, but for a thumb that"
                          " rises", _COMMON, 5.0),
    "thirds-by-others": Rule(1.5, "thirds in a row by other fingers than 1–3, 2–4 and 3–5",
                             _COMMON, 1.5),
    "struck-twice-by-others": Rule(4.0, "second of two quick strokes by another finger than the"
                                   " next one towards the thumb, in a row", _COMMON, 4.0),
    "struck-twice-skipped": Rule(2.0, "step to the next key of a row, each struck twice, by other"
                                 " fingers than neighbours", _COMMON, 2.0),
    "struck-twice-unlike": Rule(2.0, "stroke of a row, each key struck twice quickly, by another"
                                " finger than on the key before", _COMMON, binding=True),
    "turn-about": Rule(4.0, "turn whose main note changes its finger, or whose last is passed to",
                       _COMMON, binding=True),
    "row-spanned": Rule(3.0, "fingers 1–5 or 4–5 on the outer ones of three neighbours in a row",
                        _COMMON, binding=True),
    "row-to-black": Rule(1.0, "row of three neighbours that ends with finger 5 on a black key",
                         "handbooks", binding=True),
    "bass-within": Rule(2.0, "thumb, second or third finger on a key from which the hand closes in"
                             " on a chord", _PRINTS, 1.0),
    "closed-up": Rule(2.0, "step by fingers 1–4, 1–5 or 2–5, and half of it for a third by 1–5",
                      _COMMON, 2.0),
    **_each(PAIRS, "pair-", 0.0, "move between fingers {}", _PRINTS),
    **_each(PAIRS, "second-", 0.0, "step of one or two semitones by fingers {}", _PRINTS),
    **_each(PAIRS[:4], "second-passed-", 0.0, "such a step passed by fingers {}", _PRINTS),
    **_each(PAIRS, "third-", 0.0, "third by fingers {}", _PRINTS),
    **_each(PAIRS[:4], "third-passed-", 0.0, "third passed by fingers {}", _PRINTS),
    **_each(tuple(a + b for a in FINGERS for b in FINGERS if a != b), "black-white-", 0.0,
            "move between a black key and a white one, by fingers {} in this order", _PRINTS),
    # Over two onsets.
    "position-change": Rule(0.6, "hand position that is left", "Parncutt 1997, rule 4", 0.0),
    "position-size": Rule(0.07, "semitone that the hand moves", "Parncutt 1997, rule 5", 0.0),
    "closed-hand": Rule(0.036, "semitone that long fingers are closer than at rest after two",
                        "handbooks"),
    "open-thumb": Rule(0.0, "semitone that thumb and finger are wider than at rest after two",
                       _PRINTS),
    "open-long": Rule(0.0, "semitone that long fingers are wider than at rest after two", _PRINTS),
    "closed-thumb": Rule(0.0, "semitone that thumb and finger are closer than at rest after two",
                         _PRINTS),
    "closed-long": Rule(0.0, "semitone that long fingers are closer than at rest after two,"
                        " up to eight", _PRINTS),
    **_each(BOTH, "third-after-two-", 0.0, "third after two onsets, as in scales, by fingers {},"
            " low to high", _PRINTS),
    **_each(BOTH, "fifth-after-two-", 0.0, "fifth or sixth after two onsets, as in arpeggios, by"
            " fingers {}, low to high", _PRINTS),
    "key-change": Rule(3.0, "key that comes back with another finger", _COMMON, 3.0),
    # At one onset.
    **_each(FINGERS, "white-", {"4": 0.02, "5": 0.074}, "single white key of finger {}",
            "Parncutt 1997, rule 6"),
    **_each(FINGERS, "black-", {"1": 3.5, "4": 0.02, "5": 2.034}, "single black key of finger {}",
            "Parncutt 1997, rules 6, 10 and 11"),
    **_each(FINGERS, "chord-white-", 0.0, "white key of finger {} in a chord", _PRINTS),
    **_each(FINGERS, "chord-black-", 0.0, "black key of finger {} in a chord", _PRINTS),
    **_each(FINGERS[1:], "two-outer-", 0.0, "two keys with finger {} outside", _PRINTS),
    **_each(FINGERS[:4], "two-inner-", 0.0, "two keys with finger {} inside", _PRINTS),
    **_each(FINGERS[1:], "more-outer-", 0.0, "three keys and more with finger {} outside", _PRINTS),
    **_each(FINGERS[:4], "more-inner-", 0.0, "three keys and more with finger {} inside", _PRINTS),
    **_each(PAIRS, "chord-spread-", _thumb_and_long(0.18, 0.268),
            "semitone that fingers {} of a chord are further apart than at rest", _P3),
    **_each(PAIRS, "chord-cramped-", _thumb_and_long(0.524, 1.12),
            "semitone that fingers {} of a chord are closer than at rest", "Parncutt 1997, rule 2"),
    "chord-relaxed-span": Rule(0.488, "semitone of a chord beyond the relaxed reach", _P3, 0.0),
    "chord-stretch": Rule(0.68, "semitone of a chord beyond the comfortable reach", _P1, 0.0),
    "chord-leap": Rule(0.04, "semitone of a chord beyond the practical reach", _COMMON, 0.0),
    "octave-four": Rule(
        2.0, "octave with the fourth finger on a white key, or more than one", _COMMON, 1.0
    ),
    **_each(FINGERS, "outside-before-", 0.0,
            "octave that the four onsets before reach further out than finger {}", _PRINTS),
    **_each(FINGERS, "inside-before-", 0.0,
            "octave that the four onsets before reach further in than finger {}", _PRINTS),
    **_each(FINGERS, "outside-after-", 0.0,
            "octave that the four onsets after reach further out than finger {}", _PRINTS),
    **_each(FINGERS, "inside-after-", 0.0,
            "octave that the four onsets after reach further in than finger {}", _PRINTS),
    "third-by-outer": Rule(2.0, "third struck at once by 1–5", _COMMON, 2.0),
    "thumb-on-two": Rule(8.0, "thumb on two neighbouring keys", _COMMON, 2.0),
    "rolled": Rule(24.0, "chord that the hand cannot take at once", _COMMON, binding=True),
    "released": Rule(12.0, "held key that has to be let go", _COMMON, 6.0),
    "substitution": Rule(10.0, "change of finger on a held key", _COMMON, 8.0),
    # What binds, whatever the model: broken only where nothing else is left, and told.
    "one-finger": Rule(30.0, "finger that takes two keys in a row in a quick single line",
                       _COMMON, binding=True),
    "long-reach": Rule(30.0, "two long fingers joined beyond their reach", _P1, binding=True),
    "wide-pass": Rule(30.0, "thumb passed by more than a fourth", "handbooks", binding=True),
    "crossed": Rule(16.0, "crossing of two long fingers in a quick single line", _COMMON,
                    binding=True),
    "chord-reach": Rule(0.0, "two long fingers of a chord beyond their reach", _P1, binding=True),
    "one-finger-held": Rule(12.0, "finger that takes two keys in a row beside a held one, another"
                            " being free", _COMMON, binding=True),
    "bass": Rule(30.0, "bass before a leap without the fifth finger", _COMMON, binding=True),
    "top": Rule(30.0, "top of a chord without the fifth finger", _COMMON, binding=True),
}  # fmt: skip
"""Every rule of the default model by name."""


class Weights(dict[str, float]):
    """What one unit of each rule costs; what is less than nothing is liked.

    Two tables of weights are two models, whatever stands in them: known by identity, so that costs
    can be remembered for each.
    """

    __hash__ = object.__hash__  # type: ignore[assignment]

    def __eq__(self, other: object) -> bool:
        return self is other


FINGERING = Weights({name: rule.start for name, rule in RULES.items()} | LEARNED)
"""The weights by which lines are fingered for a player. The survey has its own."""

VOTED = 13.0
"""What the whole share of a key's finger is worth against the costs of the path it lies on: the
fingers most paths agree on are joined by the path that is then cheapest."""
DRAWN = 3.0
"""What it is worth, a round, to have what all other members of a figure have."""
UNLIKE, UNLIKE_WHERE_LOOSE = 1000.0, 4.0
"""What it costs to finger an onset otherwise than its figure: more than anything else; and where
its figure would have the hand do what binds it not to, or cross its fingers."""
STRAIN = 18.0
"""So much dearer than without figures, over three onsets, is too much."""
BREAKS = 25.0
"""A move that costs as much breaks a rule that binds."""
BROKEN, OTHERWISE = 10_000.0, 4.0
"""On the way out of broken rules: what another broken rule costs, more than any way around it; and
what other fingers than those that stand do."""

Cost = tuple[str, float]
"""A rule by name and what it costs here."""
Amount = tuple[str, float]
"""A rule by name and how many of its units there are here."""


def priced(amounts: Iterable[Amount], weights: Weights = FINGERING) -> tuple[Cost, ...]:
    """The costs of so many units of each rule, those that are nothing left out."""
    return tuple((rule, amount * weights[rule]) for rule, amount in amounts if amount)


def total(costs: Iterable[Cost]) -> float:
    """The sum of costs by rule."""
    return sum(amount for _, amount in costs)
