"""A seeded slice of the fuzzing command, in this process."""

import time
from pathlib import Path

import pytest

from tests.robustness.trial import Case, problem
from tests.robustness.worker import SECONDS

SLICE = [*(Case("marks", seed) for seed in range(60)), *(Case("score", seed) for seed in range(20))]


@pytest.mark.parametrize("case", SLICE, ids=lambda case: f"{case.kind}-{case.seed}")
def test_broken_input_is_dealt_with_as_agreed(case: Case, tmp_path: Path) -> None:
    began = time.process_time()
    _, wrong = problem(case.write(tmp_path / "in"), tmp_path / "out", case.seed % 20 == 0)
    assert not wrong
    assert time.process_time() - began < SECONDS
