"""Lines that a file names otherwise from measure to measure: numbers follow the line.

That the upper of two lines has its stems up and the lower one down is how piano music is printed
(common practice; Gould, Behind Bars, "Two parts on a stave", from memory).
"""

import random
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from engrave.drills.voices import FAMILY
from engrave.music.notes import Hand
from engrave.music.sheet import Bar, Sheet, home_staff
from engrave.passage.onsets import onsets
from engrave.score import read_score
from engrave.score.building.lines import following_lines
from tests.drills.builders import heard, passage
from tests.drills.fingers import suggested
from tests.score.build import back, head, measure, note, piano
from tests.works import SONGS, corpus

UPPER = ("E5 F5 G5 F5", "E5 D5 E5 C5", "D5 E5 F5 G5")
LOWER = ("C5 B4", "A4 G4", "G4 A4")


def line(pitches: str, voice: int, stem: str, tie: str = "", notations: str = "") -> str:
    """Notes that fill a measure of 4/4; of ``notations`` the last has its own."""
    names = pitches.split()
    said = f"<stem>{stem}</stem>" if stem else ""
    return "".join(
        note(
            name,
            4 // len(names),
            voice=voice,
            beam=said,
            tie=tie,
            notations=notations if number == len(names) else "",
        )
        for number, name in enumerate(names, 1)
    )


def two_lines(
    folder: Path, exchanged: Iterable[int], stems: Sequence[str] = ("up", "down")
) -> Sheet:
    """Three measures of two lines; in some the upper one is voice 2."""
    measures = []
    for number, (upper, lower) in enumerate(zip(UPPER, LOWER, strict=True), 1):
        one, other = (2, 1) if number in exchanged else (1, 2)
        measures.append(
            measure(
                number,
                *(line(upper, one, stems[0]), back(4), line(lower, other, stems[1])),
                *(back(4), note("C3", 4, voice=5, staff=2)),
                head=head() if number == 1 else "",
            )
        )
    return piano(folder, *measures).sheet


@pytest.mark.parametrize("stems", [("up", "down"), ("", "")])
@pytest.mark.parametrize("exchanged", [[2], [1, 3], [2, 3], [1, 2]])
def test_numbers_follow_the_line(
    tmp_path: Path, exchanged: list[int], stems: tuple[str, str]
) -> None:
    assert two_lines(tmp_path, exchanged, stems).bars == two_lines(tmp_path, [], stems).bars


def test_slurs_go_with_their_line(tmp_path: Path) -> None:
    """Over a bar line, behind which the file has another number for it."""
    start, stop = (f'<slur type="{kind}" number="1"/>' for kind in ("start", "stop"))
    score = piano(
        tmp_path,
        measure(
            1,
            line("E5 F5 G5 F5", 1, "up", notations=start),
            *(back(4), line("C5 B4 A4 G4", 2, "down")),
            head=head(),
        ),
        measure(2, line("E5", 2, "up", notations=stop), back(4), line("A4", 1, "down")),
    )
    (slur,) = score.sheet.spans
    assert (slur.voice, slur.end_voice) == (1, 1)


def test_the_voices_drill_plays_the_upper_line(tmp_path: Path) -> None:
    sheet = two_lines(tmp_path, [2])
    lines = {hand: onsets(sheet, hand) for hand in Hand}
    source = suggested(replace(passage([("C5", "4")]), sheet=sheet, lines=lines))
    first, second, _hand = FAMILY.unasked(source).drills
    assert [name for name, _, _ in heard(first)] == " ".join(UPPER).split()
    assert [name for name, _, _ in heard(second)] == " ".join(LOWER).split()


@pytest.mark.parametrize(("ties", "held"), [(("start", "stop"), 2), (("", ""), 1)])
def test_what_is_tied_stays_one_line(tmp_path: Path, ties: tuple[str, str], held: int) -> None:
    """The lower voice holds its note into a measure where its stem goes up, over the other."""
    score = piano(
        tmp_path,
        measure(
            1, line("E5 F5", 1, "up"), back(4), line("B4", 2, "down", tie=ties[0]), head=head()
        ),
        measure(2, line("D4 E4", 1, "down"), back(4), line("B4", 2, "up", tie=ties[1])),
    )
    assert [e.voice for e in score.sheet.bars[1].events if e.length == 4] == [held]


def test_lines_that_cross_stay_crossed(tmp_path: Path) -> None:
    """The upper line, stems up, dips below the lower one for a measure."""
    score = piano(
        tmp_path,
        measure(1, line("E5 D5", 1, "up"), back(4), line("A4 B4", 2, "down"), head=head()),
        measure(2, line("A4 G4", 1, "up"), back(4), line("C5 D5", 2, "down")),
        measure(3, line("C5 E5", 1, "up"), back(4), line("B4 A4", 2, "down")),
    )
    names = [
        [tone.pitch.spelling for bar in score.sheet.bars for e in bar.events if e.voice == voice
         for tone in e.tones]
        for voice in (1, 2)
    ]  # fmt: skip
    assert [" ".join(each) for each in names] == ["E5 D5 A4 G4 C5 E5", "A4 B4 C5 D5 B4 A4"]


WORKS = (
    corpus() / "bach" / "bwv846.mxl",
    *(corpus() / "schumann_clara" / f"polonaise_op1n{number}.mxl" for number in (1, 2, 3, 4)),
)


def exchanging(sheet: Sheet, chance: random.Random) -> tuple[Sheet, int]:
    """The sheet with the numbers of two lines exchanged in about half of its bars."""
    bars: list[Bar] = []
    count = 0
    for bar in sheet.bars:
        numbers: dict[int, int] = {}
        for staff in sheet.staves:
            voices = {e.voice for e in bar.events if e.tones and home_staff(e.voice) == staff}
            if len(voices) == 2 and chance.random() < 0.5:
                one, other = voices
                numbers |= {one: other, other: one}
                count += 1
        events = [replace(e, voice=numbers.get(e.voice, e.voice)) for e in bar.events]
        events.sort(key=lambda e: (e.offset, e.voice, not e.grace))
        bars.append(replace(bar, events=tuple(events)))
    return replace(sheet, bars=tuple(bars), spans=()), count


def test_real_lines_find_back() -> None:
    """Of real music, half of whose measures have their numbers exchanged, 95 in a hundred."""
    exchanged = wrong = 0
    for work in WORKS:
        sheet = replace(read_score(work).sheet, spans=())
        for seed in range(3):
            mixed, count = exchanging(sheet, random.Random(seed))
            found = following_lines(mixed)
            exchanged += count
            wrong += sum(a != b for a, b in zip(sheet.bars, found.bars, strict=True))
    assert exchanged > 100
    assert wrong <= exchanged / 20


@pytest.mark.parametrize("work", WORKS, ids=[work.stem for work in WORKS])
def test_a_file_that_keeps_its_numbers_keeps_them(work: Path) -> None:
    """What was read is followed already, so that to follow it again changes nothing."""
    sheet = read_score(work).sheet
    assert following_lines(sheet) == sheet


@pytest.mark.skipif(not SONGS.is_dir(), reason="the scores stand beside the checkout")
def test_an_etude_whose_copyist_exchanged_two_measures() -> None:
    sheet = read_score(SONGS / "nowakowski-etude-op25-no2.krn").sheet
    by_name = {bar.name: bar for bar in sheet.bars}
    upper = [
        [tone.pitch.spelling for e in by_name[name].events if e.voice == 5 for tone in e.tones]
        for name in ("15", "16")
    ]
    assert upper == [["C#4", "B3"], ["A3"]]
