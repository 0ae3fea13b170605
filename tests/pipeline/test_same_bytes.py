"""The same input gives the same bytes: in another folder, on another day, under another seed."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.pipeline.demo import NAME, files_of, lay_out

_ON_A_DAY = """
import sys, time
shift = float(sys.argv.pop(1)) * 86400
for name in ("gmtime", "localtime"):
    real = getattr(time, name)
    setattr(time, name, lambda seconds=None, real=real: real(seconds or time.time()))
now = time.time
time.time = lambda: now() + shift
import datetime
class Datetime(datetime.datetime):
    @classmethod
    def now(cls, tz=None):
        return cls.fromtimestamp(time.time(), tz)
    utcnow = now
class Date(datetime.date):
    @classmethod
    def today(cls):
        return cls.fromtimestamp(time.time())
datetime.datetime, datetime.date = Datetime, Date
from engrave.cli import main
sys.exit(main(sys.argv[1:]))
"""


def built(folder: Path, days: int, options: list[str], **environment: str) -> dict[str, bytes]:
    marks = lay_out(folder / "scores")
    command = [sys.executable, "-c", _ON_A_DAY, str(days), "build", marks.name]
    subprocess.run(
        [*command, "--no-cache", "--out", str(folder / "out"), *options],
        cwd=marks.parent,
        env={**os.environ, **environment},
        check=True,
    )
    return files_of(folder / "out" / NAME)


@pytest.mark.parametrize(
    "options", [[], ["--edition", "stand", "--edition", "masterclass", "--imposed"]]
)
def test_two_folders_on_two_days_hold_the_same_bytes(tmp_path: Path, options: list[str]) -> None:
    one = built(tmp_path / "one", 0, options, PYTHONHASHSEED="1", TZ="UTC", LANG="C")
    other = built(
        tmp_path / "a folder of another name" / "and further down",
        402,
        options,
        PYTHONHASHSEED="2",
        TZ="Pacific/Auckland",
        LANG="C.UTF-8",
        SOURCE_DATE_EPOCH="1000000000",
    )
    assert len(one) > 50
    assert [name for name in one if one[name] != other.get(name)] == []
    assert one.keys() == other.keys()
