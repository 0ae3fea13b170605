"""Every check finds what it is there to find, and nothing in a good output."""

import json
import re
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from tests.checks import sample
from tests.checks.all_checks import output_findings
from tests.checks.manifest import read_output
from tests.checks.rawxml import read_raw
from tests.checks.sources import completeness_findings, read_score, snapped
from tests.checks.timemap import timemap_findings
from tests.checks.twins import played


@pytest.fixture
def built(tmp_path: Path) -> tuple[Path, Path]:
    return sample.write_sample(tmp_path)


def edit_drill(folder: Path, old: str, new: str, count: int = 1) -> None:
    """Replace in the drill's MusicXML; the pattern must be there."""
    path = folder / "drills" / f"{sample.IDENTIFIER}.musicxml"
    text, found = re.subn(old, new, path.read_text("utf-8"), count=count)
    assert found
    path.write_text(text, "utf-8")


def edit_manifest(folder: Path, change: Callable[[dict[str, Any]], object]) -> None:
    path = folder / "manifest.json"
    manifest = json.loads(path.read_text("utf-8"))
    change(manifest["drills"][0])
    path.write_text(json.dumps(manifest), "utf-8")


def leap(**wrong: Any) -> dict[str, Any]:
    """From G4 to C5 (a fourth: index 2.000 by the published check values), wrong in one figure."""
    right = {"from": 0, "to": 3, "moved_from": "G4", "moved_to": "C5", "whole": False}
    return {**right, "distance_mm": 70.7, "distance_keys": 3, "index_of_difficulty": 2.0, **wrong}


def test_the_figures_of_a_right_leap_are_no_finding(built: tuple[Path, Path]) -> None:
    edit_manifest(built[0], lambda drill: drill.update(leaps=[leap()]))
    assert output_findings(*built) == []


def found(built: tuple[Path, Path]) -> str:
    return "\n".join(output_findings(*built))


def test_a_good_output_has_no_findings(built: tuple[Path, Path]) -> None:
    assert output_findings(*built) == []


@pytest.mark.parametrize(
    ("old", "new", "finding"),
    [
        ("<type>half</type>", "<kind>half</kind>", "not MusicXML 4.0"),
        ("<octave>4</octave>", "<octave>5</octave>", "onset 0 plays G5, prescribed G4"),
        (
            "<step>F</step><alter>1</alter>",
            "<step>G</step><alter>-1</alter>",
            "onset 6 plays Gb5, prescribed F#5",
        ),
        (
            "<fingering>5</fingering>",
            "<fingering>4</fingering>",
            "A5 at 4 is fingered 4, prescribed 5",
        ),
        (
            "<duration>24</duration>(.*?)<type>half</type>",
            r"<duration>12</duration>\1<type>quarter</type>",
            "holds 1 of 2 quarters",
        ),
        ("<type>half</type>", "<type>whole</type>", "lasts 2 and is printed as 4"),
        ("<note>.*?</note>", "", "8 onsets are read back, 9 prescribed"),
        (
            "<note>(.*?)<duration>9</duration>",
            r"<forward><duration>3</duration></forward><note>\1<duration>6</duration>",
            "nothing stands from 0 to 1/4",
        ),
        ('<beam number="1">end</beam>', '<beam number="1">continue</beam>', "begins twice"),
    ],
)
def test_a_wrong_drill_is_found(built: tuple[Path, Path], old: str, new: str, finding: str) -> None:
    edit_drill(built[0], old, new)
    assert finding in found(built)


def test_a_beam_over_two_beats_is_found(built: tuple[Path, Path]) -> None:
    edit_drill(built[0], '<beam number="1">end</beam>', '<beam number="1">continue</beam>')
    edit_drill(
        built[0],
        '(continue</beam>.*?)<beam number="1">begin</beam>',
        r'\1<beam number="1">continue</beam>',
    )
    assert "reaches into another beat" in found(built)


def test_another_rhythm_than_the_pattern_is_found(built: tuple[Path, Path]) -> None:
    edit_drill(
        built[0],
        r"<duration>9</duration>(.*?)<type>eighth</type><dot/>(.*?)<duration>3</duration>(.*?)16th",
        r"<duration>6</duration>\1<type>eighth</type>\2<duration>6</duration>\3eighth",
    )
    assert "are not long-short" in found(built)


@pytest.mark.parametrize(
    ("change", "finding"),
    [
        (lambda drill: drill.pop("left_out"), "has no left_out"),
        (lambda drill: drill.update(ladder=[72, 60]), "does not rise"),
        (lambda drill: drill.update(id="1-2.rhythms"), "not PASSAGE.FAMILY.VARIANT"),
        (lambda drill: drill.update(family="Riddles!"), "Riddles!.long-short is no name"),
        (lambda drill: drill.update(beams="cross"), "are none that the manifest knows"),
        (lambda drill: drill["written"].pop(), "do not name the same notes"),
        (lambda drill: drill["source"][0].update(midi=[68]), "not what ['G4'] spells"),
        (lambda drill: drill["source"][0].update(fingers=[6]), "no such finger"),
        (lambda drill: drill["source"][2].update(offset="3/4"), "not struck in the score"),
        (lambda drill: drill["source"][0].update(measure="9"), "not struck in the score"),
        (lambda drill: drill.update(systems=2), "1 staves are drawn, 2 systems of 1"),
        (lambda drill: drill.update(places={}), "stands nowhere"),
        (lambda drill: drill["places"]["student"][0].update(page=2), "on page 2 of 1"),
        (lambda drill: drill["places"]["student"][0].update(y_mm=90.0), "0 staves are on its"),
        (lambda drill: drill["files"].update(svg=[]), "no picture"),
        (lambda drill: drill.update(leaps=[leap(distance_mm=165.0)]), "are not 165.0 mm apart"),
        (lambda drill: drill.update(leaps=[leap(index_of_difficulty=2.1)]), "index of difficulty"),
        (lambda drill: drill.update(leaps=[leap(distance_keys=4)]), "4 white keys"),
        (lambda drill: drill.update(leaps=[leap(whole=True, to=4)]), "is displaced from letter"),
        (lambda drill: drill.update(leaps=[leap(to=9)]), "there is no such note"),
        (lambda drill: drill.update(blocks=[{"source": [0, 1, 2, 3, 4, 5]}]), "for five fingers"),
    ],
)
def test_a_wrong_manifest_is_found(
    built: tuple[Path, Path], change: Callable[[dict[str, Any]], object], finding: str
) -> None:
    edit_manifest(built[0], change)
    assert finding in found(built)


@pytest.mark.parametrize(
    ("svg", "finding"),
    [
        (sample.picture(notes=False), "staff 1 is empty"),
        (sample.picture(lines=4), "0 staves are drawn"),
        (sample.picture().replace('width="100mm"', 'width="100%"'), "no size on paper"),
    ],
)
def test_a_wrong_picture_is_found(built: tuple[Path, Path], svg: str, finding: str) -> None:
    (built[0] / "drills" / f"{sample.IDENTIFIER}.svg").write_text(svg, "utf-8")
    assert finding in found(built)


def test_an_empty_page_is_found(built: tuple[Path, Path]) -> None:
    sample.write_pdf(
        built[0] / "sample-student.pdf",
        sample.draw_page,
        lambda draw, mm: draw.text((mm(100), mm(12)), "2", fill=0),
    )
    assert "page 2: empty" in found(built)


def test_ink_in_the_margin_is_found(built: tuple[Path, Path]) -> None:
    def page(draw: Any, mm: Callable[[float], int]) -> None:
        sample.draw_page(draw, mm)
        draw.line((mm(12), mm(80), mm(30), mm(80)), fill=0, width=3)

    sample.write_pdf(built[0] / "sample-student.pdf", page)
    assert "ink 12." in found(built) or "ink 11." in found(built)


def test_a_page_that_prints_no_music_is_found(built: tuple[Path, Path]) -> None:
    sample.write_pdf(
        built[0] / "sample-student.pdf",
        lambda draw, mm: draw.text((mm(100), mm(100)), "Practice!", fill=0),
    )
    assert "0 staves are on its pages, 1 promised" in found(built)


def test_a_missing_file_is_found(built: tuple[Path, Path]) -> None:
    (built[0] / "passages" / "1-2.musicxml").unlink()
    assert "missing: passages/1-2.musicxml" in found(built)


def test_a_stray_file_is_found(built: tuple[Path, Path]) -> None:
    (built[0] / "drills" / "left-over.svg").write_text(sample.picture(), "utf-8")
    assert "not promised: drills/left-over.svg" in found(built)


def test_a_timemap_of_other_music_is_found(built: tuple[Path, Path]) -> None:
    drill = built[0] / "drills" / f"{sample.IDENTIFIER}.musicxml"
    found = list(timemap_findings(drill, read_raw(built[1])))
    assert any("strikes nothing at 1/4 quarters" in finding for finding in found)
    assert any("strikes something at 1375.0 ms, the file nothing" in finding for finding in found)


def test_a_note_left_out_of_the_whole_is_found(built: tuple[Path, Path]) -> None:
    def leave_out(drill: dict[str, Any]) -> None:
        drill.update(family="as-written", variant="whole", hand="both", id="1-2.as-written.whole")
        del drill["source"][3]

    edit_manifest(built[0], leave_out)
    (drill,) = read_output(built[0]).drills
    assert list(completeness_findings(drill, read_score(built[1]))) == [
        "1-2.as-written.whole: measure 1, offset 3/4: ('C', 0, 5) is left out"
    ]


@pytest.mark.parametrize(
    ("ticks", "meant"),
    [(42, "1/6"), (85, "1/3"), (171, "2/3"), (213, "5/6"), (48, "3/16"), (51, "1/5"), (256, "1")],
)
def test_a_length_rounded_to_ticks_is_read_as_it_is_meant(ticks: int, meant: str) -> None:
    """Of 256 a quarter, which hold no triplet and no quintuplet."""
    assert snapped(Fraction(ticks, 256)) == Fraction(meant)


def test_what_one_voice_of_a_unison_accents_is_heard(tmp_path: Path) -> None:
    """Two voices of a staff on one key: the accent of the first stays, the longer length counts."""
    note = "<note><pitch><step>C</step><octave>5</octave></pitch><duration>{}</duration>{}</note>"
    accent = "<notations><articulations><accent/></articulations></notations>"
    both = note.format(2, accent) + "<backup><duration>2</duration></backup>" + note.format(1, "")
    path = tmp_path / "unison.xml"
    path.write_text(f"<score-partwise><part><measure>{both}</measure></part></score-partwise>")
    assert played(path) == (((Fraction(0), "1", "C05"), "2", "accent"),)


def test_a_file_that_is_not_listed_or_has_changed_is_found(built: tuple[Path, Path]) -> None:
    path = built[0] / "drills" / f"{sample.IDENTIFIER}.svg"
    path.write_text(path.read_text("utf-8") + "\n", "utf-8")
    (built[0] / "sample-stand.pdf").write_bytes((built[0] / "sample-student.pdf").read_bytes())
    (built[0] / "passages" / "1-2.musicxml").unlink()
    findings = found(built)
    assert f"drills/{sample.IDENTIFIER}.svg: its digest is another" in findings
    assert "not listed: sample-stand.pdf" in findings
    assert "listed, not there: passages/1-2.musicxml" in findings
