"""What a marks file can ask of the families: the first and the last value, and what lies beyond."""

from dataclasses import fields
from pathlib import Path

import pytest

from engrave.drills import OPTIONS
from engrave.errors import Mistakes
from engrave.marks import read_marks
from engrave.marks.options import Options
from engrave.words import LANGUAGES, words


def asked(folder: Path, family: str, text: str) -> Options:
    (folder / "a.musicxml").touch()
    marks = folder / "asked.yaml"
    marks.write_text(
        f"score: a.musicxml\npassages:\n  - measures: 1-2\n    drills:\n      - {family}: {text}\n"
    )
    (passage,) = read_marks(marks, OPTIONS).passages
    assert passage.drills is not None
    (request,) = passage.drills
    return request.options


@pytest.mark.parametrize(
    ("family", "option", "allowed", "beyond", "range_"),
    [
        ("leaps", "steps", "[1, 2, 3, 4]", "[0]", "from 1 to 4"),
        ("leaps", "steps", "[4, 1]", "[5]", "from 1 to 4"),
        ("against", "steps", "[1, 4]", "[0]", "from 1 to 4"),
        ("against", "steps", "[1, 4]", "[5]", "from 1 to 4"),
        ("voices", "steps", "[1, 3]", "[0]", "from 1 to 3"),
        ("voices", "steps", "[1, 3]", "[4]", "from 1 to 3"),
        ("blocks", "steps", "[1, 2]", "[0]", "from 1 to 2"),
        ("blocks", "steps", "[1, 2]", "[3]", "from 1 to 2"),
        ("bursts", "sizes", "[1, 16]", "[0]", "from 1 to 16"),
        ("bursts", "sizes", "[1, 16]", "[17]", "from 1 to 16"),
        ("rhythms", "patterns", "[[1, 16]]", "[[0, 3]]", "from 1 to 16"),
        ("rhythms", "patterns", "[[1, 16]]", "[[17, 1]]", "from 1 to 16"),
        ("rhythms", "patterns", "[[1, 2]]", "[[3]]", "from 2 to 12"),
        (
            *("rhythms", "patterns", "[[1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 2]]"),
            *("[[1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 2]]", "from 2 to 12"),
        ),
        ("accents", "variants", "[accent-1, accent-7]", "[accent-0]", "unknown variant"),
        ("accents", "variants", "[accent-1, accent-7]", "[accent-8]", "unknown variant"),
        ("rhythms", "together", "true", "perhaps", "yes, no, true, false"),
        ("chain", "grow", "true", "perhaps", "yes, no, true, false"),
        ("chain", "by", "beat", "phrase", "beat"),
        ("chain", "by", "measure", "half", "beat"),
        ("chain", "direction", "both", "up", "forward"),
    ],
)
def test_what_can_be_asked(
    tmp_path: Path, family: str, option: str, allowed: str, beyond: str, range_: str
) -> None:
    """The ranges are those of ``engrave help marks``."""
    assert getattr(asked(tmp_path, family, f"{{{option}: {allowed}}}"), option)
    with pytest.raises(Mistakes) as caught:
        asked(tmp_path, family, f"{{{option}: {beyond}}}")
    (error,) = caught.value.errors
    assert range_ in f"{error.message} {error.hint}"
    assert error.source is not None
    assert error.source.line == 5


@pytest.mark.parametrize(
    ("family", "unasked"),
    [
        ("as-written", {}),
        ("hands-apart", {}),
        ("against", {"steps": (1, 2, 3, 4)}),
        ("voices", {"steps": (1, 2, 3)}),
        ("rhythms", {"variants": (), "patterns": (), "together": False}),
        ("accents", {"variants": None}),
        ("bursts", {"sizes": None}),
        ("blocks", {"steps": (1, 2)}),
        ("leaps", {"steps": (1, 2, 3, 4), "at": None}),
        ("chain", {"by": None, "grow": False, "direction": "forward"}),
        ("outline", {}),
        ("staccato", {}),
        ("other-hand", {}),
    ],
)
def test_what_holds_where_nothing_is_asked(family: str, unasked: dict[str, object]) -> None:
    options = OPTIONS[family]()
    own = {each.name for each in fields(options)} - {each.name for each in fields(Options)}
    assert {name: getattr(options, name) for name in own} == unasked


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("table", ["family", "cue"])
def test_the_words_name_the_families_in_playing_order(table: str, language: str) -> None:
    assert list(words(language)[table]) == list(OPTIONS)
