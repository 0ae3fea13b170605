"""A seeded slice of the fuzzing command, in this process."""

import time
from pathlib import Path

import pytest

from tests.robustness.trial import Case
from tests.robustness.worker import SECONDS

SIZES = {"marks": 60, "score": 20, "log": 25, "desk": 25}
SLICE = [Case(kind, seed) for kind, size in SIZES.items() for seed in range(size)]


@pytest.mark.parametrize("case", SLICE, ids=lambda case: f"{case.kind}-{case.seed}")
def test_broken_input_is_dealt_with_as_agreed(case: Case, tmp_path: Path) -> None:
    began = time.process_time()
    _, wrong = case.run(tmp_path, case.seed % 20 == 0)
    assert not wrong
    assert time.process_time() - began < SECONDS
