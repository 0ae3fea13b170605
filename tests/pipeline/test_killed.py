"""A few of the kills that ``python -m tests.pipeline.killing`` makes by the hundred."""

from itertools import islice
from pathlib import Path

import pytest

from tests.pipeline.killing import Killing, moments
from tests.pipeline.killing_saves import DeskSaves, KillingSaves, LogSaves


def test_a_killed_build_leaves_what_was_there(tmp_path: Path) -> None:
    killing = Killing(tmp_path)
    left = [killing.kill(moment) for moment in islice(moments(killing.seconds, seed=7), 4)]
    assert "old" in left
    killing.build_again()


@pytest.mark.parametrize("kind", [LogSaves, DeskSaves])
def test_a_killed_save_leaves_the_file_whole(
    tmp_path: Path, kind: type[LogSaves] | type[DeskSaves]
) -> None:
    killing = KillingSaves(tmp_path / kind.name, kind)
    for moment in islice(moments(killing.seconds, seed=3), 2):
        killing.kill(moment)
    killing.step_again()
