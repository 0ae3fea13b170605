"""Small MusicXML files, written by hand: a few helpers that spell out what the tests need."""

import io
import zipfile
from fractions import Fraction
from pathlib import Path

from engrave.music.notes import NOTE_TYPES, Pitch
from engrave.score import Score, read_score

DIVISIONS = 120
PIANO = "<staves>2</staves>"
CLEFS = (
    '<clef number="1"><sign>G</sign><line>2</line></clef>'
    '<clef number="2"><sign>F</sign><line>4</line></clef>'
)


def _ticks(length: Fraction) -> int:
    ticks = length * DIVISIONS
    assert ticks.denominator == 1
    return int(ticks)


def _value(length: Fraction) -> str:
    """``type`` and ``dot`` elements of a plain or dotted value."""
    for name, plain in NOTE_TYPES.items():
        for dots in (0, 1):
            if plain * (2 - Fraction(1, 2**dots)) == length:
                return f"<type>{name}</type>{'<dot/>' * dots}"
    return ""


def note(
    pitch: str,
    length: str | int = 1,
    *,
    voice: int | str = 1,
    staff: int = 1,
    notations: str = "",
    tie: str = "",
    beam: str = "",
    chord: bool = False,
    tuplet: tuple[int, int] | None = None,
    before: str = "",
) -> str:
    """A note, or a rest where ``pitch`` is ``r``; ``length`` is the sounding one, in quarters."""
    spelled = Pitch.parse(pitch) if pitch != "r" else None
    sounding = Fraction(length)
    written = sounding * Fraction(*tuplet) if tuplet else sounding
    ratio = (
        f"<time-modification><actual-notes>{tuplet[0]}</actual-notes>"
        f"<normal-notes>{tuplet[1]}</normal-notes></time-modification>"
        if tuplet
        else ""
    )
    where = (
        f"<pitch><step>{spelled.step}</step><alter>{spelled.alter}</alter>"
        f"<octave>{spelled.octave}</octave></pitch>"
        if spelled
        else "<rest/>"
    )
    is_grace = "<grace" in before
    return (
        f"<note>{before}{'<chord/>' if chord else ''}{where}"
        + ("" if is_grace else f"<duration>{_ticks(sounding)}</duration>")
        + "".join(f'<tie type="{kind}"/>' for kind in tie.split())
        + f"<voice>{voice}</voice>{_value(written)}{ratio}<staff>{staff}</staff>{beam}"
        + (f"<notations>{notations}</notations>" if notations else "")
        + "</note>"
    )


def grace(pitch: str, *, notations: str = "", voice: int = 1, staff: int = 1) -> str:
    """A slashed grace note, an eighth."""
    return note(
        pitch, "1/2", before='<grace slash="yes"/>', notations=notations, voice=voice, staff=staff
    )


def back(length: str | int) -> str:
    """Go back ``length`` quarters."""
    return f"<backup><duration>{_ticks(Fraction(length))}</duration></backup>"


def direction(content: str, staff: int = 1, placement: str = "above") -> str:
    """A direction of one type."""
    return (
        f'<direction placement="{placement}"><direction-type>{content}</direction-type>'
        f"<staff>{staff}</staff></direction>"
    )


def measure(number: str | int, *content: str, head: str = "", implicit: bool = False) -> str:
    """A measure; ``head`` goes into its attributes."""
    said = ' implicit="yes"' if implicit else ""
    attributes = f"<attributes>{head}</attributes>" if head else ""
    return f'<measure number="{number}"{said}>{attributes}{"".join(content)}</measure>'


def head(time: str = "4/4", fifths: int = 0) -> str:
    """The attributes of a first measure of two staves."""
    beats, beat_type = time.split("/")
    return (
        f"<divisions>{DIVISIONS}</divisions><key><fifths>{fifths}</fifths></key>"
        f"<time><beats>{beats}</beats><beat-type>{beat_type}</beat-type></time>{PIANO}{CLEFS}"
    )


def document(*parts: tuple[str, str], before: str = "") -> str:
    """A score of named parts, each the text of its measures."""
    listing = "".join(
        f'<score-part id="P{i}"><part-name>{name}</part-name></score-part>'
        for i, (name, _) in enumerate(parts, 1)
    )
    bodies = "".join(f'<part id="P{i}">{body}</part>' for i, (_, body) in enumerate(parts, 1))
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>{before}<score-partwise version="4.0">'
        f"<part-list>{listing}</part-list>{bodies}</score-partwise>"
    )


def piano(folder: Path, *measures: str) -> Score:
    """Write a piano score of these measures, and read it."""
    path = folder / "piece.musicxml"
    path.write_text(document(("Piano", "".join(measures))), "utf-8")
    return read_score(path)


def packed(files: dict[str, bytes], container: str = "score.xml") -> bytes:
    """A compressed score whose container names ``container``."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(
            "META-INF/container.xml",
            f'<container><rootfiles><rootfile full-path="{container}"/></rootfiles></container>',
        )
        for name, data in files.items():
            archive.writestr(name, data)
    return buffer.getvalue()
