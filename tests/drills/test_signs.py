"""What drills leave out of the score's signs is said, what they print is not.

The score is written by hand with every sign that there is, and the drills are read as the MusicXML
files that a build writes: what is printed is counted there, by nothing of the project's.
"""

import json
import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from xml.etree import ElementTree

import pytest

from engrave.booklet.left_out import LeftOut, left_out
from engrave.cli import main
from engrave.drills.signs import named
from engrave.music.drill import Sign
from engrave.music.notes import Hand
from engrave.remarks import Remark
from engrave.words import LANGUAGES, say
from tests.booklet.pdf import texts
from tests.booklet.samples import drill
from tests.score.build import back, direction, document, grace, head, measure, note

MARKS = """\
piece: {title: All Signs}
score: piece.musicxml
tempo: {goal: 96}
passages:
  - {id: all, measures: 1-3, drills: everything}
  - {id: right, measures: 1-3, hand: right, drills: [rhythms, chain]}
  - {id: left, measures: 1-3, hand: left, drills: [hands-apart, chain]}
  - {id: plain, measures: 4-5, hand: right, drills: [rhythms]}
"""

WORDS = {
    "grace": "1 grace note", "mordent": "1 mordent", "tremolo": "1 tremolo",
    "arpeggiate": "arpeggio sign", "fermata": "1 fermata", "slur": "the slurs",
    "pedal": "the pedal", "dynamics": "the dynamics", "staccato": "the articulation",
}  # fmt: skip
"""MusicXML 4.0 elements of each kind of sign that the score has, and what is said of it."""

ON_PURPOSE = {
    "rhythms": {"staccato"}, "accents": {"staccato"}, "blocks": {"staccato"},
    "outline": {"staccato"}, "staccato": {"staccato", "slur", "pedal"},
}  # fmt: skip
"""What a family changes because that is what it is for."""

BY_HAND = {
    Hand.RIGHT: {"grace", "mordent", "arpeggiate", "fermata", "slur", "dynamics"},
    Hand.LEFT: {"tremolo", "arpeggiate", "fermata", "pedal", "staccato"},
}
"""What each hand has in the score below."""


def score() -> str:
    """A run with its signs over rolled chords, the way back over staccato, two held chords."""
    up = [f"{step}{octave}" for octave in (4, 5) for step in "CDEFGAB"] + ["C6", "B5"]
    signs = {
        0: '<slur type="start" number="1"/>',
        4: "<ornaments><mordent/></ornaments>",
        7: '<slur type="stop" number="1"/>',
    }
    run = [note(name, "1/4", notations=signs.get(place, "")) for place, name in enumerate(up)]
    run.insert(8, grace("E5"))
    loud = direction("<dynamics><p/></dynamics>", placement="below")
    pedal = [direction(f'<pedal type="{kind}"/>', 2) for kind in ("start", "stop")]
    down = [note(name, "1/4") for name in up[::-1]]
    plain = (back(4), note("C3", 4, voice=5, staff=2))
    bars = (
        measure(1, loud, *run, back(4), pedal[0], *_rolled("C3 G3 E4", 2), *_rolled("G2 D3 B3", 2),
                pedal[1], head=head()),
        measure(2, *down, back(4), *_short("C3"), *_short("E3"), _bass(
            "C3", 2, "<ornaments><tremolo>3</tremolo></ornaments>")),
        measure(3, *_chord("C4 E4 G4 C5", 4, "<fermata/><arpeggiate/>", 1), back(4),
                *_chord("C2 C3", 4, "<fermata/><arpeggiate/>", 2)),
        measure(4, *(note(name, "1/4") for name in up), *plain),
        measure(5, *down, *plain),
    )  # fmt: skip
    return document(("Piano", "".join(bars)))


def _chord(pitches: str, length: int, notations: str, staff: int) -> list[str]:
    voice = 1 if staff == 1 else 5
    return [
        note(pitch, length, voice=voice, staff=staff, notations=notations, chord=number > 0)
        for number, pitch in enumerate(pitches.split())
    ]


def _rolled(pitches: str, length: int) -> list[str]:
    return _chord(pitches, length, "<arpeggiate/>", 2)


def _short(pitch: str) -> list[str]:
    return _chord(pitch, 1, "<articulations><staccato/></articulations>", 2)


def _bass(pitch: str, length: int, notations: str) -> str:
    return _chord(pitch, length, notations, 2)[0]


@dataclass(frozen=True, slots=True)
class Made:
    """A drill as it was written to files: the signs in its MusicXML, and what is said of it."""

    name: str
    family: str
    hands: frozenset[Hand]
    measures: frozenset[str]
    printed: frozenset[str]
    said: str


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The booklet of the score above."""
    there = tmp_path_factory.mktemp("signs")
    (there / "piece.musicxml").write_text(score(), "utf-8")
    (there / "piece.yaml").write_text(MARKS, "utf-8")
    assert main(["build", str(there / "piece.yaml"), "--out", str(there)]) == 0
    return there / "piece"


def _made(folder: Path) -> Iterable[Made]:
    for each in json.loads((folder / "manifest.json").read_text("utf-8"))["drills"]:
        if each["pitches"] != "source":
            continue
        root = ElementTree.parse(folder / each["files"]["musicxml"]).getroot()
        yield Made(
            each["id"],
            each["family"],
            frozenset(Hand(note["hand"]) for note in each["source"]),
            frozenset(note["measure"] for note in each["source"]),
            frozenset(tag for tag in WORDS if root.find(f".//{tag}") is not None),
            " ".join(each["left_out"]),
        )


def test_every_family_is_tried(folder: Path) -> None:
    families = {each.family for each in _made(folder)}
    assert families >= {
        "as-written", "hands-apart", "rhythms", "accents", "bursts", "blocks", "chain", "outline",
        "staccato", "other-hand",
    }  # fmt: skip


def test_what_a_drill_does_not_print_is_said_and_nothing_else(folder: Path) -> None:
    for each in _made(folder):
        if "4" in each.measures:
            continue
        there = {tag for hand in each.hands for tag in BY_HAND[hand]}
        for tag in there - ON_PURPOSE.get(each.family, set()):
            if each.family == "outline" and tag in ("grace", "mordent", "tremolo"):
                continue  # of these notes not all are the first of a position
            if each.family == "blocks" and tag == "arpeggiate":
                continue  # which it writes before chords that are wider than the hand
            assert (WORDS[tag] in each.said) is (tag not in each.printed), (each.name, tag)
        for tag in ON_PURPOSE.get(each.family, ()):
            assert WORDS[tag] not in each.said, (each.name, tag)


def test_what_has_no_signs_leaves_none_out(folder: Path) -> None:
    assert [each.said for each in _made(folder) if "4" in each.measures] == ["", *[""] * 5]


def test_the_page_says_it_once_a_passage(folder: Path) -> None:
    text = " ".join(" ".join(texts((folder / "piece-student.pdf").read_bytes())).split())
    for line in (
        "In some drills: 1 grace note, 1 mordent, 1 tremolo, 3 arpeggio signs, 1 fermata, "
        "the slurs, the dynamics and the pedal.",
        "In the drills: 1 grace note, 1 mordent, 1 arpeggio sign, 1 fermata, the slurs and the "
        "pedal; in some also: the dynamics.",
        "In the drills: the dynamics; in some also: 1 tremolo, 3 arpeggio signs, 1 fermata and "
        "the pedal.",
    ):
        assert text.count(line) == 1, line
    assert len(re.findall("left out", text, re.IGNORECASE)) == 3


def sign(
    kind: str, time: int | None = None, *, kept: bool = False, hand: Hand = Hand.RIGHT
) -> Sign:
    return Sign(kind, hand, None if time is None else Fraction(time), kept=kept)


def test_signs_of_both_hands_at_once_are_one() -> None:
    rolled = [sign("rolls", 0), sign("rolls", 0, hand=Hand.LEFT), sign("rolls", 2)]
    assert named(rolled) == (Remark.of("left-out.rolls", count=2),)
    trills = [sign("trill-mark", 0), sign("trill-mark", 0, hand=Hand.LEFT)]
    assert named(trills) == (Remark.of("ornament.trill-mark", count=2),)


def test_hairpins_are_dynamics_where_all_are_gone() -> None:
    assert named([sign("hairpins")]) == (Remark.of("left-out.hairpins"),)
    assert named([sign("hairpins"), sign("dynamics")]) == (Remark.of("left-out.dynamics"),)


def test_what_one_drill_has_is_left_out_of_some() -> None:
    slurs, graces = sign("slurs"), sign("graces", 1)
    outside = Remark.of("left-out.outside-the-leaps", count=3)
    kept = drill("p", "hands-apart", "right", signs=(sign("slurs", kept=True),))
    dropped = drill("p", "leaps", "step-1", signs=(slurs, graces), left_out=(outside,))
    assert left_out([dropped]) == LeftOut((*named([graces, slurs]), outside), ())
    assert left_out([kept, dropped]) == LeftOut(named([graces]), (*named([slurs]), outside))
    assert left_out([kept]).sentence is None


def test_notes_left_out_are_counted_for_both_hands_together() -> None:
    def outside(count: int) -> Remark:
        return Remark.of("left-out.outside-the-leaps", count=count)

    right = [drill("p", "leaps", f"step-{n}", left_out=(outside(24),)) for n in (1, 2)]
    left = drill("p", "leaps", "step-1", (Hand.LEFT,), left_out=(outside(1),))
    assert left_out([*right, left]) == LeftOut((outside(25),), ())
    other = drill("p", "hands-apart", "right")
    assert left_out([*right, left, other]) == LeftOut((), (outside(25),))


def test_it_is_one_sentence_in_every_language() -> None:
    slurs, pedal = named([sign("slurs")]), named([sign("pedal")])
    said = [
        [say(sentence, language) for language in LANGUAGES]
        for each in (LeftOut(slurs, ()), LeftOut((), slurs), LeftOut(slurs, pedal))
        if (sentence := each.sentence)
    ]
    assert said == [
        ["in den Übungen: die Bögen.", "in the drills: the slurs."],
        ["in manchen Übungen: die Bögen.", "in some drills: the slurs."],
        [
            "in den Übungen: die Bögen; in manchen auch: das Pedal.",
            "in the drills: the slurs; in some also: the pedal.",
        ],
    ]
