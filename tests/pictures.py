"""Draws the README's pictures from the demo: ``python -m tests.pictures`` (a command, no test).

Every family before and after, and one page of the student's booklet, as small greyscale PNGs.
"""

import io
import shutil
import sys
import tempfile
from pathlib import Path

import font_source_serif_pro
import pypdfium2
import resvg_py
from PIL import Image

from engrave.pipeline.stages import build
from tests.score.build import back, document, head, measure, note

SCORES = Path(__file__).parent.parent / "scores"
PICTURES = SCORES / "pictures"
FONTS = Path(font_source_serif_pro.__file__).parent / "files"
PAGE_WITH_A_PASSAGE = 4

MARKS = """
score: lantern-rondo.musicxml
passages:
  - id: run
    measures: 46-48
    hand: right
    fingering: {"46.1": "2 1 2 3 1 3 1", "47.2": "3 1 2 3", "48.1": "4"}
    drills:
      - rhythms: {variants: [long-short]}
      - accents: {variants: [accent-2]}
      - bursts: {sizes: [4]}
      - chain: {by: beat}
      - staccato
      - other-hand
  - id: held
    measures: 12-15
    hand: right
    drills: [voices]
  - id: chords
    measures: 39-40
    hand: right
    fingering: {"39.1": "5 1 2 3 5 1 2 4", "40.1": "5 1 2 3 5 1 2 4"}
    drills: [blocks, outline]
  - id: leaps
    measures: 70-71
    hand: left
    fingering: {"70.1": "5 5-3-1 5 5-3-1", "71.1": "5 5-2-1 5 5-3-1"}
    tempo: {beat: dotted-quarter, start: 40}
    drills: [hands-apart, leaps: {steps: [1, 4]}]
"""

CROSSED = """
score: crossed.musicxml
tempo: {goal: 72}
passages:
  - {id: crossed, measures: 1-2, hand: both, drills: [against]}
"""
"""The demo has no two rhythms at once: two measures of their own, three in a beat against two."""

SHOWN = {
    "crossed-against": "crossed.against.step-1",
    "run-as-written": "run.as-written.whole",
    "run-rhythms": "run.rhythms.long-short",
    "run-accents": "run.accents.accent-2",
    "run-bursts": "run.bursts.burst-4",
    "run-chain": "run.chain.by-beat-forward",
    "run-staccato": "run.staccato.in-time",
    "run-other-hand": "run.other-hand.in-time",
    "held-as-written": "held.as-written.whole",
    "held-voices": "held.voices.voice-1",
    "chords-as-written": "chords.as-written.whole",
    "chords-blocks": "chords.blocks.step-2",
    "chords-outline": "chords.outline.in-time",
    "leaps-as-written": "leaps.as-written.whole",
    "leaps-hands-apart": "leaps.hands-apart.left",
    "leaps-leaps": "leaps.leaps.step-1",
}
"""The pictures by file name, and the drills they show."""


def main() -> None:
    """Build the demo and a booklet of every family, and draw what the README shows of them."""
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder)
        shutil.copy(SCORES / "lantern-rondo.musicxml", out)
        marks = out / "families.yaml"
        marks.write_text(MARKS)
        build(marks, out)
        (out / "crossed.musicxml").write_text(_crossed(), "utf-8")
        crossed = out / "crossed.yaml"
        crossed.write_text(CROSSED)
        build(crossed, out)
        for name, drill in SHOWN.items():
            folder = "crossed" if drill.startswith("crossed") else "families"
            _draw(out / folder / "drills" / f"{drill}.svg", PICTURES / f"{name}.png")
        build(SCORES / "lantern-rondo.yaml", out)
        _draw_page(out / "lantern-rondo/lantern-rondo-student.pdf", PICTURES / "page.png")


def _crossed() -> str:
    """Triplets over eighths, in two measures."""
    lines = (("C5 E5 G5 A5 G5 E5", "C3 G3 E3 G3"), ("F5 E5 D5 C5 D5 B4", "D3 A3 G2 G3"))
    measures = []
    for number, (upper, lower) in enumerate(lines, 1):
        right = "".join(note(each, "1/3", tuplet=(3, 2)) for each in upper.split())
        left = "".join(note(each, "1/2", voice=5, staff=2) for each in lower.split())
        opening = head("2/4") if number == 1 else ""
        measures.append(measure(number, right, back(2), left, head=opening))
    return document(("Piano", "".join(measures)))


def _draw(svg: Path, png: Path) -> None:
    """A picture on white, with a margin, small enough for a page of prose."""
    if not svg.is_file():
        sys.exit(f"{svg.stem} is in SHOWN, but no passage of MARKS asks for it")
    drawn = resvg_py.svg_to_bytes(
        svg_path=str(svg),
        zoom=2,
        dpi=96,
        background="white",
        skip_system_fonts=True,
        font_files=[str(file) for file in sorted(FONTS.glob("*.otf"))],
    )
    image = Image.open(io.BytesIO(bytes(drawn))).convert("L")
    _save(image, png)


def _draw_page(pdf: Path, png: Path) -> None:
    page = pypdfium2.PdfDocument(pdf)[PAGE_WITH_A_PASSAGE - 1]
    _save(page.render(scale=1.4, grayscale=True).to_pil().convert("L"), png)


def _save(image: Image.Image, png: Path) -> None:
    image.quantize(16).save(png, optimize=True)


if __name__ == "__main__":
    main()
