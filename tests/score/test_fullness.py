"""Measures that are too full or too short are kept, and said so."""

from pathlib import Path

import pytest

from tests.score.build import back, head, measure, note, piano


def bar(name: str, length: int, implicit: bool = False, attributes: str = "") -> str:
    notes = [note("C4") for _ in range(length)]
    return measure(
        name,
        *notes,
        back(length),
        *(note("C3", voice=5, staff=2) for _ in range(length)),
        head=attributes,
        implicit=implicit,
    )


@pytest.mark.parametrize(
    ("lengths", "sentences"),
    [
        # in 3/4: a name, its quarters, and i where the file says that it is not counted
        ("1:3 2:3", []),
        ("0:1 1:3 2:2", []),  # the last measure completes the pickup
        ("1:3 2:2 3:1 4:3", []),  # a repeat sign between two halves of a measure
        ("1:3 2:2 X1:1i 3:3", []),
        ("1:3 2:2 3:3", ["measure 2 is shorter than the meter: kept as in the score"]),
        ("1:3 2:4 3:3", ["measure 2 is too full for the meter: kept as in the score"]),
        (
            "1:4 2:3 3:2 4:3 5:2 6:3",
            [
                "measure 1 is too full for the meter: kept as in the score",
                "measures 3, 5 are shorter than the meter: kept as in the score",
            ],
        ),
        ("1:3 2:1i 3:3", []),
    ],
)
def test_fullness(tmp_path: Path, lengths: str, sentences: list[str]) -> None:
    bars = []
    for index, word in enumerate(lengths.split()):
        name, length = word.split(":")
        implicit = length.endswith("i")
        attributes = head("3/4") if index == 0 else ""
        bars.append(bar(name, int(length.rstrip("i")), implicit, attributes))
    score = piano(tmp_path, *bars)
    assert [notice.message for notice in score.notices] == sentences
    told = [int(word.split(":")[1].rstrip("i")) for word in lengths.split()]
    assert [each.length for each in score.sheet.bars] == told
