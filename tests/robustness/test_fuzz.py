"""A seeded slice of the fuzzing command, and every seed that once failed."""

from collections import Counter

from tests.robustness.fuzz import Case, failures

FAILED_ONCE: tuple[Case, ...] = ()


def test_broken_marks_and_scores_are_told_in_the_agreed_form() -> None:
    slice_ = [Case("marks", seed) for seed in range(60)] + [
        Case("score", seed) for seed in range(8)
    ]
    assert list(failures([*FAILED_ONCE, *slice_], Counter())) == []
