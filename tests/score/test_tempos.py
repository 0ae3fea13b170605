"""What a score says of its tempo, wherever it stands, and which of it counts."""

from math import inf
from pathlib import Path

import pytest

from engrave.music.sheet import Meter, Moment, Sheet
from engrave.music.units import Quarters
from engrave.score import Score, read_score, tempo_at
from engrave.score.building import tempos
from engrave.score.building.tempos import quickest, tempos_of
from engrave.score.formats.raw import RawTempo
from tests.drills import builders
from tests.score.build import back, document, head, measure, note

LOW = (back(4), note("C3", 4, voice=5, staff=2))


def words(text: str) -> str:
    return f"<direction><direction-type><words>{text}</words></direction-type></direction>"


def sound(tempo: int) -> str:
    return f'<sound tempo="{tempo}"/>'


def metronome(number: int) -> str:
    return (
        "<direction><direction-type><metronome><beat-unit>quarter</beat-unit>"
        f"<per-minute>{number}</per-minute></metronome></direction-type></direction>"
    )


def read(folder: Path, signs: dict[int, str], count: int = 12, singer: str = "") -> Score:
    """A piano of ``count`` measures with signs before some, perhaps below a singer."""
    piano = "".join(
        measure(n, signs.get(n, ""), note("C5", 4), *LOW, head=head() if n == 1 else "")
        for n in range(1, count + 1)
    )
    parts = [("Piano", piano)]
    if singer:
        one = head()
        one = one[: one.index("<staves>")] + "<clef><sign>G</sign><line>2</line></clef>"
        sung = "".join(
            measure(n, singer if n == 1 else "", note("C5", 4), head=one if n == 1 else "")
            for n in range(1, count + 1)
        )
        parts.insert(0, ("Voice", sung))
    path = folder / "piece.musicxml"
    path.write_text(document(*parts), "utf-8")
    return read_score(path)


def goal(score: Score, measure_number: int) -> tuple[str, float] | None:
    mark = tempo_at(score, Moment(measure_number - 1, Quarters(0)))
    return (str(mark.origin), float(mark.beat * mark.per_minute)) if mark else None


def test_a_printed_mark_comes_before_words_and_playback(tmp_path: Path) -> None:
    score = read(tmp_path, {1: words("Presto") + metronome(72) + sound(140)})
    assert goal(score, 5) == ("mark", 72)


def test_a_mark_and_words_in_the_voice_of_a_song(tmp_path: Path) -> None:
    assert goal(read(tmp_path, {}, singer=metronome(66)), 1) == ("mark", 66)
    assert goal(read(tmp_path, {}, singer=words("Ziemlich langsam")), 3) == ("words", 54)


def test_words_count_at_the_start_or_where_they_hold_for_four_measures(tmp_path: Path) -> None:
    score = read(tmp_path, {1: words("Moderato"), 3: words("Presto"), 5: words("Adagio")})
    assert [goal(score, n) for n in (1, 3, 5, 12)] == [
        ("words", 104), ("words", 104), ("words", 60), ("words", 60)
    ]  # fmt: skip


def test_four_measures_are_enough_and_the_first_tempo_comes_back(tmp_path: Path) -> None:
    signs = {1: words("Moderato"), 3: words("Adagio"), 7: words("a tempo")}
    score = read(tmp_path, signs)
    assert [goal(score, n) for n in (2, 3, 6, 7, 12)] == [
        ("words", 104), ("words", 60), ("words", 60), ("words", 104), ("words", 104)
    ]  # fmt: skip
    short = read(tmp_path, {1: words("Moderato"), 3: words("Adagio"), 6: words("a tempo")})
    assert [goal(short, n) for n in (2, 3, 6)] == [("words", 104)] * 3


def test_the_tempo_after_a_slow_first_measure_is_the_first_tempo(tmp_path: Path) -> None:
    """Words in the second measure name the movement's tempo: the first may be a pickup."""
    signs = {1: words("Grave"), 2: words("Allegro"), 5: words("Adagio"), 10: words("a tempo")}
    score = read(tmp_path, signs)
    assert goal(score, 6) == ("words", 60)
    assert goal(score, 11) == ("words", 134)


@pytest.mark.parametrize(
    ("tempos", "counts"),
    [
        ({1: 95, 5: 90, 6: 100}, 100),  # to and fro
        ({1: 80, 5: 90, 6: 100}, 80),  # quicker and quicker, close together
        ({1: 100, 5: 90, 6: 80}, 100),
        ({1: 100, 4: 90, 8: 80}, 80),  # not close
        ({1: 100, 7: 80}, 80),
        ({1: 100, 10: 80}, 100),  # three measures are a nuance
    ],
)
def test_numbers_for_playback(tmp_path: Path, tempos: dict[int, int], counts: int) -> None:
    score = read(tmp_path, {n: sound(tempo) for n, tempo in tempos.items()})
    assert goal(score, 12) == ("playback", counts)


def quick(meter: Meter, *lines: str) -> Sheet:
    """A bar of the right hand's pitches for each line, even over the bar."""
    notes = [
        (name, str(meter.length / len(line.split()))) for line in lines for name in line.split()
    ]
    return builders.sheet(notes, meter=meter)


@pytest.mark.parametrize(
    ("meter", "count", "quarters"),
    [
        (Meter(2, 4), 8, 150.0),  # sixteenths: ten a second are 150 quarters a minute
        (Meter(2, 4), 4, 300.0),
        (Meter(6, 8), 12, 150.0),  # six in a dotted quarter
        (Meter(2, 2), 16, 150.0),
        (Meter(3, 8), 6, 150.0),
    ],
)
def test_how_quick_the_quick_notes_may_be(meter: Meter, count: int, quarters: float) -> None:
    assert quickest(quick(meter, " ".join(["C5"] * count)), 10.0) == pytest.approx(quarters)


def test_rests_are_no_quick_notes() -> None:
    assert quickest(quick(Meter(2, 4), "C5 rest D5 rest E5 rest F5 rest"), 10.0) == 300.0
    assert quickest(quick(Meter(2, 4), "rest rest rest rest"), 10.0) == inf


def test_one_beat_in_twenty_may_be_quicker() -> None:
    plain, run = "C5 D5 E5 F5", " ".join(["C5"] * 16)
    one_in_forty = quick(Meter(2, 4), *[plain] * 20, run)
    assert quickest(one_in_forty, 10.0) == pytest.approx(300.0)
    often = quick(Meter(2, 4), *[plain] * 4, run)
    assert quickest(often, 10.0) == pytest.approx(75.0)


def test_words_ask_for_no_more_than_anybody_plays() -> None:
    """Ten notes a second; other words of the piece go down in proportion."""
    sheet = quick(Meter(2, 4), *["C5 D5 E5 F5 G5 F5 E5 D5"] * 12)
    at = ((0, "Presto"), (6, "Andante"))
    found = tempos_of(sheet, [RawTempo(bar, Quarters(0), words=text) for bar, text in at])
    assert [mark.per_minute for mark in found] == [150, 67]  # 178 and 80, times 150 / 178


@pytest.mark.parametrize(
    ("offset", "moment"),
    [("0", (2, "0")), ("1", (2, "1")), ("2", (3, "0")), ("5", (4, "1")), ("-1", (2, "0")),
     ("99", (5, "2"))],
)  # fmt: skip
def test_an_offset_beyond_its_bar_is_in_a_later_one(offset: str, moment: tuple[int, str]) -> None:
    sheet = quick(Meter(2, 4), *["C5 D5"] * 6)
    mark = RawTempo(2, Quarters(offset), beat=Quarters(1), per_minute=Quarters(72))
    wide = tempos._moment(sheet.bars, mark)
    assert (wide.bar, wide.offset) == (moment[0], Quarters(moment[1]))


def test_a_mark_beyond_the_last_bar_stands_in_the_last() -> None:
    sheet = quick(Meter(2, 4), *["C5 D5"] * 6)
    late = RawTempo(9, Quarters(1), beat=Quarters(1), per_minute=Quarters(72))
    found = tempos._moment(sheet.bars, late)
    assert (found.bar, found.offset) == (5, Quarters(1))


def test_words_on_the_way_say_nothing_of_what_stands_before(tmp_path: Path) -> None:
    score = read(tmp_path, {6: words("Adagio")})
    assert [goal(score, n) for n in (1, 5, 6)] == [None, None, ("words", 60)]


def test_a_playback_ritardando_is_no_goal(tmp_path: Path) -> None:
    """Its numbers stand close and go one way, or stand under the word."""
    slides = {n: sound(tempo) for n, tempo in ((1, 112), (5, 90), (6, 62), (7, 41))}
    assert goal(read(tmp_path, slides), 12) == ("playback", 112)
    worded = {1: sound(112), 7: words("poco rit.") + sound(41)}
    assert goal(read(tmp_path, worded), 12) == ("playback", 112)
    back_again = worded | {8: words("a tempo") + sound(96)}
    assert goal(read(tmp_path, back_again), 12) == ("playback", 96)


def kern(folder: Path, text: str, name: str = "piece.krn") -> Score:
    path = folder / name
    path.write_text(text.replace(" ", "\t").replace("_", " "), "utf-8")
    return read_score(path)


BARS = "\n".join(f"={n} ={n}\n4C 4c\n4D 4d" for n in range(2, 12))
HEAD = "**kern **kern\n*clefF4 *clefG2\n*M2/4 *M2/4"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (f"{HEAD}\n*MM112 *MM112\n=1- =1-\n4C 4c\n4D 4d\n{BARS}\n*- *-\n", ("elsewhere", 112)),
        (f"!!!OMD:_Allegro\n{HEAD}\n=1- =1-\n4C 4c\n4D 4d\n{BARS}\n*- *-\n", ("words", 134)),
        (f"!!!OMD:_Lento_[half]=40\n{HEAD}\n=1- =1-\n4C 4c\n4D 4d\n{BARS}\n*- *-\n",
         ("elsewhere", 80)),
        (f"{HEAD}\n*MM112 *MM112\n=1- =1-\n4C 4c\n*MM41 *MM41\n4D 4d\n=2 =2\n*MM112 *MM112\n4C 4c\n"
         f"4D 4d\n{BARS}\n*- *-\n", ("elsewhere", 112)),
    ],
)  # fmt: skip
def test_the_tempos_of_kern(tmp_path: Path, text: str, expected: tuple[str, float]) -> None:
    assert goal(kern(tmp_path, text), 8) == expected


def test_tempo_words_at_the_head_of_the_file(tmp_path: Path) -> None:
    read(tmp_path, {})
    path = tmp_path / "piece.musicxml"
    credit = "<credit><credit-words>Andante</credit-words></credit><part-list>"
    path.write_text(path.read_text("utf-8").replace("<part-list>", credit, 1), "utf-8")
    assert goal(read_score(path), 3) == ("words", 80)
