"""What is measured: marks files with their scores, and the edits that a teacher makes in them."""

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from tests.works import ROOT, corpus

DEMO = ROOT / "scores"
RAG = corpus() / "joplin" / "maple_leaf_rag.mxl"

RAG_MARKS = """piece: {title: Maple Leaf Rag, composer: Scott Joplin}
score: maple_leaf_rag.mxl
tempo: {beat: quarter, goal: 92}
passages:
  - {measures: 1-4, hand: left, trouble: The bass comes late.}
  - {measures: 5-6, hand: right}
  - {measures: 7-8, hand: right}
  - {measures: 17-18, hand: both}
  - {measures: 33-34, hand: right}
  - {measures: 53-54, hand: both}
"""


@dataclass(frozen=True)
class Job:
    """A marks file, and what a word and a passage of it can be changed to, as often as asked."""

    name: str
    marks: Path
    word: Callable[[str, int], str]
    passage: Callable[[str, int], str]

    def change(self, edit: Callable[[str, int], str], number: int) -> None:
        """Edit the file; raises ``AssertionError`` if that changes nothing."""
        before = self.marks.read_text("utf-8")
        after = edit(before, number)
        assert before != after
        self.marks.write_text(after, "utf-8")


def demo(folder: Path) -> Job:
    """The demo of the repository."""
    folder.mkdir(parents=True)
    for name in ("lantern-rondo.yaml", "lantern-rondo.musicxml", "nell.log.yaml"):
        shutil.copy(DEMO / name, folder)
    return Job(
        "the demo, 4 passages",
        folder / "lantern-rondo.yaml",
        lambda text, n: text.replace("Let the thumb wait", f"Let thumb {n} wait"),
        lambda text, n: text.replace('"48.1": "4"', f'"48.1": "{(n % 2) * 2 + 3}"'),
    )


def rag(folder: Path) -> Job:
    """Six passages of a rag that everybody has (Joplin, 1899; music21's corpus)."""
    folder.mkdir(parents=True)
    shutil.copy(RAG, folder)
    marks = folder / "rag.yaml"
    marks.write_text(RAG_MARKS, "utf-8")
    return Job(
        "Maple Leaf Rag, 6 passages",
        marks,
        lambda text, n: text.replace("comes late", f"comes late {n}"),
        lambda text, n: text.replace("5-6", f"5.{n % 2 + 1}-6"),
    )


def book(folder: Path, passages: int = 60, measures: int = 120) -> Job:
    """A book of short passages of a study that goes on and on."""
    marks = study(folder, measures)
    lines = [
        f"  - {{id: p{number}, measures: {first}-{first + 1}, hand: right, remarks: Slowly.}}\n"
        for number, first in enumerate(range(1, 2 * passages, 2))
    ]
    marks.write_text(marks.read_text("utf-8") + "".join(lines), "utf-8")
    return Job(
        f"a book of {passages} passages",
        marks,
        lambda text, n: text.replace("Slowly.", f"Slowly {n}.", 1),
        lambda text, n: text.replace(
            "{id: p7, measures: 15-16,", f"{{id: p7, measures: 15.1-16.{n % 2 + 1},"
        ),
    )


def study(folder: Path, measures: int) -> Path:
    """Marks without passages yet, for a score of so many measures: sixteenths over quarters."""
    folder.mkdir(parents=True)
    (folder / "study.musicxml").write_text(_study(measures), "utf-8")
    marks = folder / "study.yaml"
    marks.write_text("score: study.musicxml\ntempo: {beat: quarter, goal: 100}\npassages:\n")
    return marks


def _study(measures: int) -> str:
    bars = "".join(_bar(number) for number in range(1, measures + 1))
    return (
        '<score-partwise version="4.0"><work><work-title>A study</work-title></work><part-list>'
        '<score-part id="P1"><part-name>Piano</part-name></score-part></part-list>'
        f'<part id="P1">{bars}</part></score-partwise>'
    )


def _bar(number: int) -> str:
    head = (
        "<attributes><divisions>4</divisions><time><beats>2</beats><beat-type>4</beat-type></time>"
        "<staves>2</staves><clef number='1'><sign>G</sign><line>2</line></clef>"
        "<clef number='2'><sign>F</sign><line>4</line></clef></attributes>"
        if number == 1
        else ""
    )
    upper = [_note(28 + (number * 3 + step) % 10, 1, "16th", 1) for step in range(8)]
    lower = [_note(15 + (number + step) % 5, 4, "quarter", 2) for step in range(2)]
    backup = "<backup><duration>8</duration></backup>"
    return f'<measure number="{number}">{head}{"".join(upper)}{backup}{"".join(lower)}</measure>'


def _note(diatonic: int, duration: int, kind: str, staff: int) -> str:
    octave, step = divmod(diatonic, 7)
    return (
        f"<note><pitch><step>{'CDEFGAB'[step]}</step><octave>{octave}</octave></pitch>"
        f"<duration>{duration}</duration><voice>{4 * staff - 3}</voice><type>{kind}</type>"
        f"<staff>{staff}</staff></note>"
    )
