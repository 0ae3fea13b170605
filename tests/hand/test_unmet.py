"""What is said where suggested fingers break a rule: no more than is so."""

from dataclasses import replace

import pytest

from engrave.fingering import unmet
from engrave.messages import message_of
from engrave.music.notes import Hand
from engrave.music.onset import Onset
from engrave.passage.model import Passage
from engrave.passage.unmet_rules import unmet_rules, unmet_told
from tests.drills.builders import even, passage
from tests.hand.lines import fingered, onsets_fingered, words


def suggested(names: str, fingers: str, length: str = "1/4") -> Passage:
    """A right hand's passage with fingers as if the model had suggested them."""
    open_ = passage(even(names, length))
    line = onsets_fingered(open_.lines[Hand.RIGHT], [(int(each),) for each in fingers.split()])
    return replace(open_, lines=dict(open_.lines) | {Hand.RIGHT: line})


def bare(onset: Onset) -> Onset:
    return replace(onset, tones=tuple(replace(tone, finger=None) for tone in onset.tones))


def told(here: Passage, language: str = "en") -> list[str]:
    notices = unmet_told(here, unmet_rules(here))
    return [message_of(each, language).replace("\u00a0", "") for each in notices]


def test_where_other_fingers_keep_the_rule_it_is_not_said_that_there_are_none() -> None:
    here = suggested("C4 D4 E4 F4", "2 2 3 4")
    assert told(here) == [
        "41.1, right hand: one finger takes C4 and then D4 in a quick line, for the sake of what "
        "comes before or after; here other fingers are possible"
    ]
    assert "keinen besseren Weg" not in told(here, "de")[0]
    assert told(suggested("C4 D4 E4 F4", "1 4 2 3")) == [
        "41.1, right hand: 4 and 2 cross from D4 to E4 in a quick line, for the sake of what comes "
        "before or after; here other fingers are possible"
    ]


def test_where_no_fingers_keep_it_this_is_said() -> None:
    """An octave up, and another: neither end of it can be the thumb's and the fifth's at once."""
    here = suggested("C4 C5 C6 C5", "1 5 5 1")
    assert told(here) == [
        "41.1, right hand: one finger takes C5 and then C6 in a quick line; the suggested fingers "
        "have no better way"
    ]
    assert "keinen besseren Weg" in told(here, "de")[0]


def test_given_fingers_are_taken_as_they_stand() -> None:
    """Between the teacher's 3 on D and on F the thumb is free for E, without crossing."""
    here = suggested("C4 D4 E4 F4", "1 3 2 3")
    line = here.lines[Hand.RIGHT]
    given = fingered([*map(bare, line)], words("1 3 2 3"))
    mixed = [given[0], given[1], line[2], given[3]]
    (found,) = unmet(mixed, Hand.RIGHT, 205.0, 120)
    assert (found.rule, found.onset) == ("crossed", 2)
    assert found.avoidable
    assert unmet(given, Hand.RIGHT, 205.0, 120) == ()


@pytest.mark.parametrize("language", ["en", "de"])
def test_a_chord_is_beyond_any_fingers_only_where_it_is(language: str) -> None:
    open_ = passage([("C4 G4 A4", "1/2"), ("C4 F4 A4", "1/2")])
    line = onsets_fingered(open_.lines[Hand.RIGHT], [(2, 3, 4), (1, 2, 3)])
    here = replace(open_, lines=dict(open_.lines) | {Hand.RIGHT: line})
    keys = {"en": "C4, G4 and A4", "de": "c¹, g¹ und a¹"}[language]
    (sentence,) = (each for each in told(here, language) if keys in each)
    assert ("no fingers" in sentence or "keinem Fingersatz" in sentence) is False
