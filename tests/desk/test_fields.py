"""A mistake's line and column lead to the field that it belongs to."""

import pytest

from engrave.desk.fields import path_at

TEXT = """\
score: a.krn
passages:
  - measures: 3
    tempo: {goal: 999, start: x}
    drills:
      - rhythms
      - chain: {by: beet}
  - id: b
    measures:
"""


@pytest.mark.parametrize(
    ("line", "column", "path"),
    [
        (1, 8, ("score",)),
        (3, 15, ("passages", 0, "measures")),
        (4, 19, ("passages", 0, "tempo", "goal")),
        (4, 31, ("passages", 0, "tempo", "start")),
        (7, 20, ("passages", 0, "drills", 1, "chain", "by")),
        (8, 5, ("passages", 1, "id")),
        (9, 5, ("passages", 1, "measures")),
    ],
)
def test_a_place_is_the_innermost_field(line: int, column: int, path: tuple[object, ...]) -> None:
    assert path_at(TEXT, line, column) == path
    assert path_at(TEXT.replace("\n", "\r\n"), line, column) == path


def test_what_is_no_yaml_has_no_fields() -> None:
    assert path_at("a: [", 1, 1) == ()
