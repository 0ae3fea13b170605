"""Real scores that the tests build from, each with a marks file of a few lines.

The corpus is music21's; the songs stand in a folder beside the checkout, where there is one.
"""

import shutil
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
SONGS = ROOT.parent / "shared" / "scores"


def corpus() -> Path:
    """The folder of music21's corpus, found without loading music21."""
    spec = find_spec("music21")
    assert spec is not None
    assert spec.origin is not None
    return Path(spec.origin).parent / "corpus"


@dataclass(frozen=True)
class Work:
    """A score file, the name of its keyboard part where it has several, and marks for it.

    Without ``marks`` they stand in a file beside the score.
    """

    name: str
    score: Path
    marks: str
    part: str = ""

    def write(self, folder: Path) -> Path:
        """Lay score and marks file into ``folder``; returns the marks file."""
        folder.mkdir(parents=True, exist_ok=True)
        shutil.copy(self.score, folder / self.score.name)
        path = folder / f"{self.name}.yaml"
        if not self.marks:
            shutil.copy(self.score.with_suffix(".yaml"), path)
            for log in self.score.parent.glob("*.log.yaml"):
                shutil.copy(log, folder)
            return path
        head = f"piece: {{title: {self.name}}}\nscore: {self.score.name}\n"
        head += f"part: {self.part}\n" if self.part else ""
        path.write_text(head + self.marks, "utf-8")
        return path


@dataclass(frozen=True)
class Built:
    """A build's exit code, the folder it wrote, and the marks and score it read."""

    code: int
    folder: Path
    marks: Path
    score: Path
    part: str


def build(work: Work, root: Path) -> Built:
    """Build ``work`` below ``root``, as the command line does."""
    from engrave.cli import main

    marks = work.write(root / "in")
    return built_at(work, root, main(["build", str(marks), "--out", str(root / "out")]))


def built_at(work: Work, root: Path, code: int) -> Built:
    """What ``build`` left below ``root``."""
    marks = root / "in" / f"{work.name}.yaml"
    return Built(code, root / "out" / work.name, marks, marks.parent / work.score.name, work.part)


DEMO = Work("lantern-rondo", ROOT / "scores" / "lantern-rondo.musicxml", "")
"""The demo; its marks file is its own."""

WORKS = (
    Work(
        "maple-leaf",
        corpus() / "joplin" / "maple_leaf_rag.mxl",
        """tempo: {beat: quarter, goal: 92}
passages:
  - {measures: 1-4, hand: left}
  - {measures: 53-54, hand: both}
  - {measures: 7.1-9.1, hand: both, drills: [as-written, hands-apart]}
""",
    ),
    Work(
        "k545",
        corpus() / "mozart" / "k545" / "movement1_exposition.mxl",
        """tempo: {beat: quarter, goal: 132}
passages:
  - {measures: 5-8, hand: right, drills: [rhythms, blocks]}
  - {measures: 1-2, hand: left}
  - {measures: 10-11, hand: both}
""",
    ),
    Work(
        "polonaise",
        corpus() / "schumann_clara" / "polonaise_op1n1.mxl",
        """tempo: {beat: quarter, goal: 96}
passages:
  - {measures: 5-8, hand: right}
  - {measures: 13-14, hand: left}
  - {measures: 27, hand: both}
""",
    ),
    Work(
        "h186",
        corpus() / "cpebach" / "h186.mxl",
        """tempo: {beat: quarter, goal: 80}
passages:
  - {measures: 9, hand: right}
  - {measures: 11-12, hand: left}
  - {measures: 20-21, hand: both}
""",
    ),
    Work(
        "attente",
        SONGS / "boulanger-attente.mxl",
        """tempo: {beat: quarter, goal: 72}
passages:
  - {measures: 1-2, hand: right}
  - {measures: 9-10, hand: both, drills: [as-written, blocks]}
""",
        part="Piano",
    ),
    Work(
        "wanderlied",
        SONGS / "kralik-wanderlied.mxl",
        """tempo: {beat: quarter, goal: 100}
passages:
  - {measures: 5, hand: right}
  - {measures: 42-43, hand: both}
""",
        part="Piano",
    ),
)

EVERYTHING = "tempo: {beat: quarter, goal: 96}\npassages:\n"
"""The head of a marks file to which a sweep adds its passages."""

SWEPT = tuple(
    Work(path.replace("/", "-").partition(".")[0], corpus() / path, EVERYTHING)
    for path in (
        "bach/bwv846.mxl",
        "cpebach/h186.mxl",
        "joplin/maple_leaf_rag.mxl",
        "mozart/k545/movement1_exposition.mxl",
        "schoenberg/opus19/movement2.mxl",
        "schoenberg/opus19/movement6.mxl",
        "schumann_clara/polonaise_op1n1.mxl",
        "schumann_clara/polonaise_op1n2.mxl",
        "schumann_clara/polonaise_op1n3.mxl",
        "schumann_clara/polonaise_op1n4.mxl",
        "verdi/laDonnaEMobile.mxl",
    )
)
"""Works of music21's corpus, in every texture, that the sweep goes through measure by measure."""

ACCOMPANYING = tuple(
    Work(path.replace("/", "-").partition(".")[0], corpus() / path, EVERYTHING, "Piano")
    for path in (
        "beach/prayer_of_a_tired_child.musicxml",
        "handel/rinaldo/Lascia_chio_pianga.mxl",
        "liliuokalani/aloha_oe.mxl",
        "schubert/Lindenbaum.xml",
    )
)
"""Piano parts beside voices, which the whole sweep goes through too."""
