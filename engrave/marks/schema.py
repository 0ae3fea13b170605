"""The names that the marks file knows: families with their options, and small vocabularies.

A family owns its entry of ``FAMILY_OPTIONS``: to give a family an option, name it there with the
reader of its value, and read it in the family's module. What the other keys of the file hold stands
where they are read: ``reader``, ``passages``, ``tempos``, ``fingering``.
"""

from collections.abc import Mapping

from engrave.marks.places import measure_range
from engrave.marks.readers import Reader, list_of, value
from engrave.marks.scalars import name, number, whole, yes_or_no

STATUSES = ("learning", "warm-up", "done")
PAPERS = ("a4", "letter")
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")

SLOWEST, FASTEST = 10, 600
"""Beats a minute that a tempo can have; a ladder moves to another unit long before either."""

RHYTHM_VARIANTS = (
    "long-short",
    "short-long",
    "short-short-long",
    "long-short-short",
    "short-long-short",
    "in-threes",
    "in-fours-1",
    "in-fours-2",
    "in-fours-3",
    "in-fours-4",
)
ACCENT_VARIANTS = ("accent-1", "accent-2", "accent-3", "accent-4")

mark = value(number("a metronome mark", SLOWEST, FASTEST))
step = value(whole("the step", 1, 10))
pattern = list_of(value(whole("a length", 1, 16)), least=2, most=12, repeats=True)

EVERY: Mapping[str, Reader[object]] = {"reached": mark, "goal": mark, "start": mark, "step": step}
"""What every family takes: a ladder of its own, in the beat of the drill."""

FAMILY_OPTIONS: Mapping[str, Mapping[str, Reader[object]]] = {
    "as-written": {**EVERY},
    "hands-apart": {**EVERY},
    "rhythms": {
        **EVERY,
        "variants": list_of(value(name("variant", RHYTHM_VARIANTS))),
        "patterns": list_of(pattern),
        "together": value(yes_or_no),
    },
    "accents": {**EVERY, "variants": list_of(value(name("variant", ACCENT_VARIANTS)))},
    "bursts": {**EVERY, "sizes": list_of(value(whole("a burst", 1, 16)))},
    "blocks": {**EVERY, "steps": list_of(value(whole("a step", 1, 2)))},
    "leaps": {
        **EVERY,
        "steps": list_of(value(whole("a step", 1, 4))),
        "at": list_of(value(measure_range)),
    },
    "chain": {
        **EVERY,
        "by": value(name("link", ("beat", "measure"))),
        "direction": value(name("direction", ("forward", "backward", "both"))),
    },
    "outline": {**EVERY},
    "staccato": {**EVERY},
    "other-hand": {**EVERY},
}
"""The options of each family, by name, and how each is read; the order is the booklet's."""
