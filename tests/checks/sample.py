"""A tiny score and the output of a build, written by hand: what the checks are checked against.

The drill is long-short over a run of eight sixteenths and its landing, written out by hand.
"""

import json
from collections.abc import Callable
from fractions import Fraction
from hashlib import sha256
from pathlib import Path
from typing import Any

from PIL import Image, ImageDraw

from tests.checks.manifest import midi_of, parse_spelling

DIVISIONS = 12
SCALE = ("G4", "A4", "B4", "C5", "D5", "E5", "F#5", "G5")
TYPES = {
    Fraction(1, 4): ("16th", 0),
    Fraction(1, 2): ("eighth", 0),
    Fraction(3, 4): ("eighth", 1),
    Fraction(1): ("quarter", 0),
    Fraction(2): ("half", 0),
}
IDENTIFIER = "1-2.rhythms.long-short"


def note(spelling: str, length: Fraction, beam: str = "", finger: int = 0, staff: int = 1) -> str:
    """A MusicXML note; ``spelling`` "" is a rest; ``beam`` holds the states of levels 1, 2 …."""
    kind, dots = TYPES[length]
    pitch = "<rest/>"
    if spelling:
        step, alter, octave = parse_spelling(spelling)
        pitch = f"<pitch><step>{step}</step>"
        pitch += f"<alter>{alter}</alter>" if alter else ""
        pitch += f"<octave>{octave}</octave></pitch>"
    technical = f"<technical><fingering>{finger}</fingering></technical>" if finger else ""
    beams = "".join(
        f'<beam number="{level}">{state}</beam>'
        for level, state in enumerate(filter(None, beam.split(",")), start=1)
    )
    return (
        f"<note>{pitch}<duration>{length * DIVISIONS}</duration><voice>{staff * 4 - 3}</voice>"
        f"<type>{kind}</type>{'<dot/>' * dots}<staff>{staff}</staff>{beams}"
        f"{f'<notations>{technical}</notations>' if technical else ''}</note>"
    )


def sheet(measures: list[str], staves: int) -> str:
    """A whole file in 2/4: one part, one or two staves."""
    clefs = '<clef number="1"><sign>G</sign><line>2</line></clef>'
    clefs += '<clef number="2"><sign>F</sign><line>4</line></clef>' if staves == 2 else ""
    attributes = (
        f"<attributes><divisions>{DIVISIONS}</divisions><key><fifths>0</fifths></key>"
        "<time><beats>2</beats><beat-type>4</beat-type></time>"
        f"<staves>{staves}</staves>{clefs}</attributes>"
    )
    body = "".join(
        f'<measure number="{number}">{attributes if number == 1 else ""}{measure}</measure>'
        for number, measure in enumerate(measures, start=1)
    )
    return (
        '<?xml version="1.0" encoding="UTF-8"?><score-partwise version="4.0"><part-list>'
        '<score-part id="P1"><part-name>Piano</part-name></score-part></part-list>'
        f'<part id="P1">{body}</part></score-partwise>'
    )


def score_text() -> str:
    """The scale in sixteenths and its landing, a resting left hand."""
    left = f"<backup><duration>{2 * DIVISIONS}</duration></backup>" + note("", Fraction(2), staff=2)
    run = "".join(note(spelling, Fraction(1, 4)) for spelling in SCALE)
    return sheet([run + left, note("A5", Fraction(2)) + left], staves=2)


def drill_text() -> str:
    """The scale long-short: a dotted eighth and a sixteenth a beat, the landing held."""
    pairs = [
        note(long, Fraction(3, 4), "begin", finger)
        + note(short, Fraction(1, 4), "end,backward hook", finger + 1)
        for long, short, finger in zip(SCALE[::2], SCALE[1::2], (1, 3, 1, 3), strict=True)
    ]
    landing = note("A5", Fraction(2), finger=5)
    return sheet(["".join(pairs[:2]), "".join(pairs[2:]), landing], staves=1)


def drill_entry() -> dict[str, Any]:
    """The drill in the manifest."""
    fingers = (1, 2, 3, 4, 1, 2, 3, 4, 5)
    source = [
        {
            "measure": "1" if index < 8 else "2",
            "offset": str(Fraction(index % 8, 4)),
            "hand": "right",
            "midi": [midi_of(parse_spelling(spelling))],
            "spelling": [spelling],
            "fingers": [finger],
            "fingers_from": "marks",
        }
        for index, (spelling, finger) in enumerate(zip((*SCALE, "A5"), fingers, strict=True))
    ]
    place = {"page": 1, "x_mm": 25.0, "y_mm": 40.0, "width_mm": 100.0, "height_mm": 20.0}
    return {
        "id": IDENTIFIER, "passage": "1-2", "family": "rhythms", "variant": "long-short",
        "hand": "right", "meter": "2/4", "beat_unit": "1", "ladder": [60, 66, 72],
        "files": {
            "musicxml": f"drills/{IDENTIFIER}.musicxml", "svg": [f"drills/{IDENTIFIER}.svg"],
        },
        "left_out": [], "staves": 1, "systems": 1, "places": {"student": [place]},
        "source": source, "written": [[index] for index in range(9)],
        "fingers": "source", "beams": "beats", "complete": False, "pattern": [3, 1],
        "pitches": "source", "stretch": "1",
    }  # fmt: skip


def picture(notes: bool = True, lines: int = 5) -> str:
    """An SVG of 100 × 20 mm with a staff of 7 mm and, if asked, three heads in its spaces."""
    staff = "".join(
        f'<path d="M5 {6.5 + 1.75 * line}h90" stroke="#000" stroke-width="0.2"/>'
        for line in range(lines)
    )
    heads = "".join(
        f'<ellipse cx="{x}" cy="9.1" rx="2.5" ry="0.9"/>' for x in (20, 40, 60) if notes
    )
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="20mm" '
        f'viewBox="0 0 100 20">{staff}{heads}</svg>'
    )


def draw_page(draw: ImageDraw.ImageDraw, mm: Callable[[float], int]) -> None:
    """The same picture at its place on an A4 page."""
    for line in range(5):
        y = mm(46.5 + 1.75 * line)
        draw.line((mm(30), y, mm(120), y), fill=0, width=2)
    for x in (45, 65, 85):
        draw.ellipse((mm(x), mm(48.6), mm(x + 5), mm(50.2)), fill=0)


def write_pdf(
    path: Path, *pages: Callable[[ImageDraw.ImageDraw, Callable[[float], int]], None]
) -> None:
    """A4 pages as pictures of 300 dpi."""
    images = []
    for page in pages:
        image = Image.new("L", (round(210 / 25.4 * 300), round(297 / 25.4 * 300)), 255)
        page(ImageDraw.Draw(image), lambda mm: round(mm / 25.4 * 300))
        images.append(image)
    images[0].save(path, save_all=True, append_images=images[1:], resolution=300)


def write_sample(root: Path) -> tuple[Path, Path]:
    """The output folder and the score beside it."""
    folder = root / "sample"
    (folder / "drills").mkdir(parents=True)
    (folder / "passages").mkdir()
    score = root / "score.musicxml"
    score.write_text(score_text(), "utf-8")
    (folder / "passages" / "1-2.musicxml").write_text(score_text(), "utf-8")
    (folder / "drills" / f"{IDENTIFIER}.musicxml").write_text(drill_text(), "utf-8")
    (folder / "drills" / f"{IDENTIFIER}.svg").write_text(picture(), "utf-8")
    write_pdf(folder / "sample-student.pdf", draw_page)
    (folder / "index.html").write_text("<!DOCTYPE html><title>Sample</title>", "utf-8")
    listed = [
        {
            "path": path.relative_to(folder).as_posix(),
            "sha256": sha256(path.read_bytes()).hexdigest(),
            "lesson": None,
        }
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    ]
    manifest = {
        "format": 2,
        "marks": "../sample.yaml",
        "piece": {"title": "Sample"},
        "score": {"file": "score.musicxml", "sha256": "0" * 64},
        "passages": [{"id": "1-2"}],
        "drills": [drill_entry()],
        "outputs": listed,
    }
    (root / "sample.yaml").touch()
    (folder / "manifest.json").write_text(json.dumps(manifest), "utf-8")
    return folder, score
