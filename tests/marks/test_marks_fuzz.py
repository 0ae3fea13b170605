"""Whatever stands in the file: marks, or mistakes with a place and a hint, and nothing else."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from engrave.drills import OPTIONS
from engrave.errors import EngraveError, Mistakes
from engrave.marks import Marks, read_marks

EXAMPLE = Path(__file__).with_name("example.yaml").read_text("utf-8")

SCRAPS = (
    *("[", "]", "{", "}", ":", ": ", "- ", "\n", "\n  ", "#", "&a ", "*a", "!!int ", "|\n", ">\n"),
    *("'", '"', "\t", "\\", "? ", "---\n", "...\n", "%YAML 1.1\n", "<<: ", "\r", "\u2028", "\0"),
    *("-1", "1e9", "9" * 5000, "0x1", "12.10", "٣", "²", "null", "yes", "..", "/", "://", "\ufeff"),
    *('"\\ud800"', '"\\UFFFFFFFF"', '"\\x00"', "measures", "drills", "passages", "right", "both"),
    *("rhythms", "goal: 9999", "1-3-5", "💩", "\x85", "\ud7ff", "a" * 400),
)
SCRAP = st.sampled_from(SCRAPS) | st.text(max_size=5)
EDIT = st.tuples(st.integers(0, len(EXAMPLE)), st.integers(0, 30), SCRAP)


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("marks")
    (folder / "rondo.musicxml").touch()
    return folder / "marks.yaml"


def check(file: Path, data: bytes) -> None:
    file.write_bytes(data)
    ends = ("\n", "\r", "\x85", "\u2028", "\u2029")
    last_line = sum(data.count(end.encode()) for end in ends) + 1
    for error in mistakes_in(file):
        assert error.message
        assert error.hint
        assert error.source is not None
        assert error.source.file == str(file)
        assert 0 <= error.source.line <= last_line


def mistakes_in(file: Path) -> tuple[EngraveError, ...]:
    try:
        assert isinstance(read_marks(file, OPTIONS), Marks)
    except Mistakes as mistakes:
        return mistakes.errors
    return ()


quickly = settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow], deadline=None)


@quickly
@given(st.lists(EDIT, min_size=1, max_size=4))
@example([(0, len(EXAMPLE), '"\\UFFFFFFFF"')])
def test_edited_marks(file: Path, edits: list[tuple[int, int, str]]) -> None:
    text = EXAMPLE
    for start, length, scrap in edits:
        text = text[:start] + scrap + text[start + length :]
    check(file, text.encode("utf-8", "surrogatepass"))


@quickly
@given(st.integers(0, len(EXAMPLE)), st.binary(max_size=8))
def test_spliced_bytes(file: Path, start: int, scrap: bytes) -> None:
    data = EXAMPLE.encode()
    check(file, data[:start] + scrap + data[start:])


@quickly
@given(st.lists(SCRAP, max_size=20))
def test_scraps_alone(file: Path, scraps: list[str]) -> None:
    check(file, "".join(scraps).encode("utf-8", "surrogatepass"))
