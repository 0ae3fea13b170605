"""What the bench measures against makes the same booklet."""

from pathlib import Path

from engrave.pipeline.stages import build
from tests.bench.direct import direct
from tests.bench.jobs import book
from tests.booklet import pdf


def test_the_direct_way_prints_the_same_drills(tmp_path: Path) -> None:
    job = book(tmp_path / "book", passages=1, measures=4)
    direct(job.marks, tmp_path / "direct.pdf")
    build(job.marks, tmp_path / "out")
    ours = (tmp_path / "out" / "study" / "study-student.pdf").read_bytes()
    headings, theirs = (
        [(level, title) for level, title, _ in pdf.bookmarks(each)]
        for each in (ours, (tmp_path / "direct.pdf").read_bytes())
    )
    assert len(headings) > 4
    assert headings == theirs
