"""A seeded slice of the damaged scores; ``tests.score.damage`` tries thousands."""

from collections import Counter
from pathlib import Path

from tests.score.damage import SOUND, attempt

SEEDS = range(150)
FAILED_ONCE: tuple[int, ...] = ()
"""Seeds that once ended in a traceback."""


def test_sound_files_are_read(tmp_path: Path) -> None:
    from engrave.score import read_score

    for suffix, data in SOUND.items():
        path = tmp_path / f"sound{suffix}"
        path.write_bytes(data)
        assert read_score(path).sheet.bars


def test_damaged_scores_are_read_or_refused(tmp_path: Path) -> None:
    came = Counter(attempt(seed, tmp_path) for seed in (*FAILED_ONCE, *SEEDS))
    print(came)
    assert came["read"] > len(SEEDS) / 5
    assert came.total() - came["read"] > len(SEEDS) / 5
