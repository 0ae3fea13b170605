"""MP3 files: read back by the decoder, clicks and keys where the timeline has them."""

import json
from dataclasses import replace
from fractions import Fraction
from io import BytesIO
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from engrave.cli import main
from engrave.errors import EngraveError
from engrave.music.sheet import Direction
from engrave.music.tempo import Goal, ladder
from engrave.sound import audio, climb
from engrave.sound.audio import mp3, samples
from engrave.sound.climbing import Climb
from engrave.sound.tone import RATE, string
from tests.drills.builders import even, sheet
from tests.pipeline.demo import NAME, lay_out

numpy = pytest.importorskip("numpy")
soundfile = pytest.importorskip("soundfile")


def played(mark: int = 96) -> Climb:
    made = ladder(Goal(Fraction(1), Fraction(mark), Fraction(mark)))
    return climb(sheet(even("C5 D5 E5 F5", "1")), made, (mark,), times=1)


def test_clicks_are_where_they_belong_to_the_sample() -> None:
    music = played()
    silent = climb(sheet([("rest", "4")]), ladder(Goal(Fraction(1), Fraction(96), Fraction(96))),
                   (96,), times=1)  # fmt: skip
    heard = numpy.abs(samples(silent))
    loud = numpy.flatnonzero(heard > 0.2)
    starts = [loud[0], *(b for a, b in pairwise(loud) if b - a > RATE // 10)]
    assert len(starts) == len(music.takes[0].heard.clicks)
    assert {abs(b - a - 60 / 96 * RATE) <= 1 for a, b in pairwise(starts)} == {True}


def test_what_is_struck_harder_is_louder_and_dies_when_its_key_goes_up() -> None:
    """A wave 1.5 times the velocity's power; a damper takes six hundredths of a second for e."""

    def string_of(sign: str) -> Any:
        music = sheet([("C5", "1"), ("rest", "1")])
        signs = (Direction(Fraction(0), 1, "dynamic", sign, "below"),)
        made = ladder(Goal(Fraction(1), Fraction(96), Fraction(96)))
        silent = climb(sheet([("rest", "2")]), made, (96,), times=1)
        bars = (replace(music.bars[0], directions=signs),)
        struck = climb(replace(music, bars=bars), made, (96,), times=1)
        return samples(struck) - samples(silent)

    soft, hard = string_of("p"), string_of("f")
    assert numpy.abs(hard).max() / numpy.abs(soft).max() == pytest.approx(
        (88 / 50) ** 1.5, rel=1e-6
    )
    quarter = 60 / 96
    begin, up = 2 * quarter, 3 * quarter
    assert not numpy.abs(soft[: round(begin * RATE) - 1]).any()
    level = [
        numpy.abs(soft[round(at * RATE) : round((at + 0.01) * RATE)]).max()
        for at in (begin + 0.01, up - 0.01, up + 0.06, up + 0.12, up + 0.6)
    ]
    assert level[0] > level[1] > level[2] > level[3] > level[4] == 0
    assert 2.7 < level[2] / level[3] < 4  # e, and the string itself dies away


@pytest.mark.parametrize("key", [36, 48, 60, 72, 84])
def test_a_string_is_in_tune(key: int) -> None:
    """Equal temperament, A4 = 440 Hz (ISO 16), within ten cents."""
    wave = string(key)[: RATE // 2]
    size = 1 << 18
    spectrum = numpy.abs(numpy.fft.rfft(wave * numpy.hanning(len(wave)), size))
    pitch = 440 * 2 ** ((key - 69) / 12)
    low, high = (int(pitch * by * size / RATE) for by in (0.94, 1.06))
    found = (low + spectrum[low:high].argmax()) * RATE / size
    assert abs(1200 * numpy.log2(found / pitch)) < 10


def test_the_file_is_read_back_and_has_the_same_bytes() -> None:
    data = mp3(played())
    assert data == mp3(played())
    back, rate = soundfile.read(BytesIO(data))
    assert rate == RATE
    made = samples(played())
    assert abs(len(back) - len(made)) < RATE // 5
    assert numpy.abs(back).max() <= 1


def test_the_demo_has_a_file_a_drill(tmp_path: Path) -> None:
    out = tmp_path / "out"
    marks = lay_out(tmp_path)
    marks.write_text(marks.read_text("utf-8").partition("  # 2. ")[0], "utf-8")
    command = ["build", str(marks), "--out", str(out), "--audio", "--edition", "screen"]
    assert main(command) == 0
    drills = json.loads((out / NAME / "manifest.json").read_text("utf-8"))["drills"]
    sizes = [(out / NAME / each["files"]["audio"]).stat().st_size for each in drills]
    assert min(sizes) > 20_000
    assert sum(sizes) < 12_000_000


def test_without_the_extra_it_is_said_before_anything_is_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(audio, "find_spec", lambda name: None)
    with pytest.raises(EngraveError, match="numpy and soundfile") as told:
        audio.refuse_without_audio()
    assert "pip install numpy soundfile" in str(told.value.hint)
    assert main(["build", str(lay_out(tmp_path)), "--out", str(tmp_path / "out"), "--audio"]) == 2
    assert not (tmp_path / "out").exists()
