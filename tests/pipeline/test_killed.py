"""A few of the kills that ``python -m tests.pipeline.killing`` makes by the hundred."""

import random
from pathlib import Path

import pytest

from tests.pipeline.killing import Killing, moments
from tests.pipeline.killing_saves import DeskSaves, KillingSaves, LogSaves, any_moment


def test_a_killed_build_leaves_what_was_there(tmp_path: Path) -> None:
    killing = Killing(tmp_path)
    left = [killing.kill(moment) for moment in moments(4, killing.seconds, seed=7)]
    assert "old" in left
    killing.build_again()


@pytest.mark.parametrize("kind", [LogSaves, DeskSaves])
def test_a_killed_save_leaves_the_file_whole(
    tmp_path: Path, kind: type[LogSaves] | type[DeskSaves]
) -> None:
    killing = KillingSaves(tmp_path / kind.name, kind)
    moment = any_moment(random.Random(3))
    for _ in range(2):
        killing.kill(moment)
    killing.step_again()
