"""What every rule of the fingering costs, and where it comes from: the one table.

Enters: nothing. Leaves: ``RULES``. Costs are relative; one semitone is 165/12 mm. "Parncutt 1997"
is the paper named in ``keyboard.SPANS``; "handbooks" are the scale and arpeggio tables on which its
weight was set; "common practice" has no source.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule: what it weighs, a unit of what, and who says so."""

    weight: float
    unit: str
    source: str


RULES: dict[str, Rule] = {
    # Between two neighbouring onsets, finger by finger.
    "spread": Rule(0.067, "semitone that long fingers are further apart than at rest",
                   "Parncutt 1997, rule 3"),
    "spread-thumb": Rule(0.045, "semitone that thumb and finger are further apart than at rest",
                         "Parncutt 1997, rule 3"),
    "cramped": Rule(0.28, "semitone that long fingers are closer than at rest",
                    "Parncutt 1997, rule 2"),
    "cramped-thumb": Rule(0.131, "semitone that thumb and finger are closer than at rest",
                          "Parncutt 1997, rule 2"),
    "relaxed-span": Rule(0.122, "semitone beyond the relaxed reach", "Parncutt 1997, rule 3"),
    "stretch": Rule(0.17, "semitone beyond the comfortable reach", "Parncutt 1997, rule 1"),
    "leap": Rule(0.3, "semitone beyond the practical reach", "common practice"),
    "pass-2": Rule(2.7, "pass of thumb and second finger", "handbooks"),
    "pass-3": Rule(0.54, "pass of thumb and third finger", "handbooks"),
    "pass-4": Rule(1.0, "pass of thumb and fourth finger", "handbooks"),
    "pass-5": Rule(4.4, "pass of thumb and fifth finger", "handbooks"),
    "pass-level": Rule(0.14, "pass from white to white, or black to black",
                       "Parncutt 1997, rule 12"),
    "pass-to-black": Rule(4.6, "pass with the thumb on black, the finger on white",
                          "Parncutt 1997, rule 12"),
    "pass-size": Rule(0.12, "semitone that the thumb passes", "handbooks"),
    "crossing": Rule(5.0, "crossing of two fingers without the thumb", "common practice"),
    "same-finger": Rule(5.2, "finger that goes on to another key", "common practice"),
    "shift": Rule(0.4, "finger that goes on with its whole chord", "common practice"),
    "slide": Rule(4.7, "finger that slides from a black key to its neighbour", "common practice"),
    "lift": Rule(3.0, "move for which the hand is lifted and set anew", "common practice"),
    "lift-size": Rule(0.05, "semitone of such a move", "common practice"),
    "repeat": Rule(2.0, "quick repetition by one finger", "common practice"),
    "repeat-inwards": Rule(0.4, "change to a finger nearer the thumb on a repeated key",
                           "common practice"),
    "repeat-outwards": Rule(1.2, "change to a finger further from the thumb on a repeated key",
                            "common practice"),
    # Over two onsets.
    "position-change": Rule(0.3, "hand position that is left", "Parncutt 1997, rule 4"),
    "position-size": Rule(0.035, "semitone that the hand moves", "Parncutt 1997, rule 5"),
    "closed-hand": Rule(0.018, "semitone that long fingers are closer than at rest after two",
                        "handbooks"),
    "key-change": Rule(0.8, "key that comes back with another finger", "common practice"),
    "figure-alike": Rule(1.3, "figure that is fingered otherwise where it comes back",
                         "common practice"),
    # At one onset.
    "fourth-finger": Rule(0.01, "single note of the fourth finger", "Parncutt 1997, rule 6"),
    "fifth-finger": Rule(0.037, "single note of the fifth finger", "Parncutt 1997, rule 6"),
    "thumb-on-black": Rule(1.75, "thumb on a black key", "Parncutt 1997, rule 10"),
    "fifth-on-black": Rule(0.98, "fifth finger on a black key", "Parncutt 1997, rule 11"),
    "in-chord": Rule(2.0, "times what two fingers cost one after the other", "common practice"),
    "thumb-on-two": Rule(4.0, "thumb on two neighbouring keys", "common practice"),
    "rolled": Rule(12.0, "chord that the hand cannot take at once", "common practice"),
    "released": Rule(6.0, "held key that has to be let go", "common practice"),
    "substitution": Rule(5.0, "change of finger on a held key", "common practice"),
}  # fmt: skip
"""Every rule of the default model by name."""


def weight(rule: str) -> float:
    """What one unit of a rule costs."""
    return RULES[rule].weight
