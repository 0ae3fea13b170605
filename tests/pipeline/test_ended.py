"""A batch whose process is told to end, interrupted or killed takes all its processes with it."""

import signal
from pathlib import Path

import pytest

from tests.pipeline.ending import PROMPTLY, Batch

pytestmark = pytest.mark.skipif(
    not Path("/proc/self/environ").exists(), reason="processes are looked up in /proc"
)


@pytest.mark.parametrize(
    ("how", "group", "code"),
    [
        (signal.SIGTERM, False, 130),
        (signal.SIGINT, True, 130),
        (signal.SIGKILL, False, -signal.SIGKILL),
    ],
)
def test_an_ended_batch_leaves_no_process_and_nothing_half(
    tmp_path: Path, how: signal.Signals, group: bool, code: int
) -> None:
    batch = Batch(tmp_path)
    ended, seconds = batch.end(how, 2.5, group)
    assert ended == code
    assert 0 <= seconds < PROMPTLY
    assert batch.halves() == []


def test_a_batch_that_comes_to_its_end_leaves_no_temporary_folder(tmp_path: Path) -> None:
    batch = Batch(tmp_path, 2)
    for path in batch.marks:
        path.write_text("score: [\n", "utf-8")
    assert batch.start().wait() == 2
    assert batch.halves() == []
