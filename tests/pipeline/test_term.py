"""One of the terms that ``python -m tests.pipeline.term`` plays."""

import random
from pathlib import Path

from tests.pipeline.term import Term


def test_a_term_of_twelve_lessons(tmp_path: Path) -> None:
    term = Term(tmp_path, 12, random.Random(0))
    assert term.play() == []
    assert term.number > 200
