"""The PDF behind the page: the last state is made, and nothing more once the page is closed."""

import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Event

import pytest

from engrave.pipeline.batch import Outcome, Task
from engrave.pipeline.styling import Job
from engrave.watch import pdf
from engrave.watch.pdf import PdfShelf
from engrave.watch.stage import Pdf, PdfState


class Workshop:
    """Builds that begin at once, in a thread, and end when they are told to."""

    def __init__(self) -> None:
        self.pool = ThreadPoolExecutor(1)
        self.begun, self.may_end = 0, Event()

    def build(self, marks: Path, task: Task) -> Outcome:
        self.begun += 1
        assert self.may_end.wait(10)
        return Outcome(marks)

    def finish(self) -> None:
        """Every build ends, and those that they ask for."""
        self.may_end.set()
        self.pool.shutdown(wait=True)


@pytest.fixture
def workshop(monkeypatch: pytest.MonkeyPatch) -> Iterator[Workshop]:
    made = Workshop()
    monkeypatch.setattr(pdf, "new_pool", lambda _: made.pool)
    monkeypatch.setattr(pdf, "build_one", made.build)
    yield made
    made.finish()


def test_saves_during_a_build_are_built_once_after_it(workshop: Workshop, tmp_path: Path) -> None:
    told: list[Pdf] = []
    second = Event()

    def tell(said: Pdf) -> None:
        told.append(said)
        if len(told) == 3:
            second.set()

    shelf = PdfShelf(tmp_path / "x.yaml", Task(tmp_path, Job(), None), tell)
    for _ in range(4):
        shelf.renew()
    workshop.may_end.set()
    assert second.wait(10)
    workshop.finish()
    assert workshop.begun == 2
    assert told[-1] == Pdf("x-student.pdf", PdfState.MADE)


def test_closed_during_a_build_it_begins_no_other(
    workshop: Workshop, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    shelf = PdfShelf(tmp_path / "x.yaml", Task(tmp_path, Job(), None), lambda _: None)
    shelf.renew()
    shelf.renew()
    shelf.close()
    workshop.finish()
    assert workshop.begun <= 1
    assert not caplog.records


def test_closed_while_idle_it_leaves_no_thread(tmp_path: Path) -> None:
    before = set(threading.enumerate())
    shelf = PdfShelf(tmp_path / "x.yaml", Task(tmp_path, Job(), None), lambda _: None)
    assert shelf._pool.submit(abs, -1).result(30) == 1
    shelf.close()
    assert set(threading.enumerate()) <= before
