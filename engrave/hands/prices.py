"""What it costs to give a note to a hand: the one table that decides.

The teacher's marks and the words of the score bind and have no price. Everything else is weighed
together, note by note, and the cheapest division of the whole score is taken. The staff's is the
dearest for a note alone; only what no hand can do is dearer.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Prices:
    """Points. Common practice, no source: the order was reasoned, the figures tried on scores."""

    staff: float = 10
    """A note leaves the hand of its staff, the first of its line to do so."""
    with_chord: float = 2
    """Each further note that leaves with it."""
    chord_divided: float = 3
    """The notes of one printed chord lie in both hands."""
    away: float = 3
    """The next note of a line that has left stays away."""
    line_broken: float = 4
    """Two notes of one line, joined without a rest, lie in different hands."""
    beam: float = 8
    """A note under a beam, or on a stem, across the staves is not with the hand that has the rest,
    while the hand of its staff has other things to do."""
    blank: float = 8
    """A note leaves the hand of the staff that is left blank without a rest, being the nearer of
    two lines on the other one."""
    doubling: float = 4
    """A note leaves the hand of its staff, being in a further voice there that moves as the other
    staff does, and not as its own."""
    beam_away: float = 1
    """Such a note is with that hand."""
    impossible: float = 1000
    """Keys struck together that no hand can hold."""
    rolled: float = 3
    """The same, where the score says that they are rolled."""
    let_go: float = 8
    """A key is let go that should still be held, at every stroke until it ends …"""
    needlessly: float = 4
    """… the other hand being free to take the stroke."""
    pedal_bass: float = 1
    """The lowest of all keys is let go: the pedal keeps it."""
    crossed: float = 3
    """The left hand strikes above a key of the right."""
    divided_otherwise: float = 7
    """The keys struck just before come again, divided otherwise between the hands."""
    leap: float = 4
    """A hand leaps beyond its span at a metre a second more than it does without effort."""
    leap_at_most: float = 9
    no_time: float = 2.5
    """Metres a second at which a hand no more takes a note of the other staff, nor comes back from
    one: it is as ``impossible`` as what no hand can hold."""
    easy_leap: float = 0.3
    """Metres a second that cost nothing."""
    farther: float = 0.002
    """A note that no staff claims, for every millimetre that it is farther from its hand."""


PRICES = Prices()
