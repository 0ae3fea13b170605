"""A few of the kills that ``python -m tests.pipeline.killing`` makes by the hundred."""

from pathlib import Path

from tests.pipeline.killing import Killing, moments


def test_a_killed_build_leaves_what_was_there(tmp_path: Path) -> None:
    killing = Killing(tmp_path)
    left = [killing.kill(moment) for moment in moments(4, killing.seconds, seed=7)]
    assert "old" in left
    killing.build_again()
