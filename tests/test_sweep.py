"""A seeded slice of the sweep over real works; ``python -m tests.sweep`` goes through all of it."""

from collections.abc import Callable

import pytest

from tests.sweep import Counts, choose, sweep
from tests.works import SWEPT, Work

SEED, SHARE = 20, 0.1
CHOSEN = choose(SWEPT, SHARE, SEED)


@pytest.mark.parametrize(
    "work", [work for work in SWEPT if CHOSEN[work.name]], ids=lambda w: w.name
)
def test_every_drill_of_the_slice_is_right(
    work: Work, record_property: Callable[[str, object], None]
) -> None:
    counts: Counts = sweep(work, CHOSEN[work.name])
    record_property("counts", str(counts))
    assert counts.passages + counts.refusals.total() >= len(CHOSEN[work.name])
    assert counts.drills.total() > 0
    assert counts.findings == []
