"""What we change in libraries while they load is still needed; where a test fails, ours can go.

Seen in music21 10.5.1, WeasyPrint 70.0 and Python 3.11.
"""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from engrave.booklet.library import _SELDOM_USED
from engrave.score.formats.library import _NOT_IN_XML
from tests.robustness.without_rights import begin

_LOAD = """
import ctypes.util, json, sys
find, missing = ctypes.util.find_library, []
def ask(name):
    found = find(name)
    if found is None:
        missing.append(name)
    return found
ctypes.util.find_library = ask
import weasyprint, music21
print(json.dumps({"missing": missing, "loaded": sorted(sys.modules)}))
"""


@pytest.fixture(scope="module")
def plain() -> dict[str, list[str]]:
    """What both libraries do when nothing of ours stands in their way."""
    ran = subprocess.run([sys.executable, "-c", _LOAD], capture_output=True, check=True)
    said: dict[str, list[str]] = json.loads(ran.stdout)
    return said


@pytest.mark.parametrize("module", ["music21.test", "music21.test.testRunner", "requests"])
def test_music21_loads_its_tests_and_a_network_library(
    plain: dict[str, list[str]], module: str
) -> None:
    """``score/formats/library.py`` puts them off."""
    assert module in plain["loaded"]


def test_music21_falls_over_a_home_that_may_not_be_searched(tmp_path: Path) -> None:
    """``score/formats/library.py`` gives it none."""
    home = tmp_path / "home"
    home.mkdir(mode=0o600)
    process = begin(["-c", "import music21"], tmp_path, {"HOME": str(home)})
    assert ".music21rc" in process.communicate()[1]


@pytest.mark.parametrize("module", _NOT_IN_XML)
def test_music21_loads_what_its_parser_of_musicxml_has_no_use_for(
    plain: dict[str, list[str]], module: str
) -> None:
    """``score/formats/library.py`` leaves it to those who have."""
    assert module in plain["loaded"]


@pytest.mark.parametrize("module", _SELDOM_USED)
def test_weasyprint_loads_what_our_pages_hold_nothing_of(
    plain: dict[str, list[str]], module: str
) -> None:
    """``booklet/library.py`` puts them off."""
    assert module in plain["loaded"]


@pytest.mark.skipif(sys.platform != "linux", reason="the detour is taken on Linux alone")
def test_weasyprint_asks_for_libraries_by_names_that_are_none_here(
    plain: dict[str, list[str]],
) -> None:
    """``booklet/library.py`` answers at once; each question costs a run of the linker's tools."""
    assert len(plain["missing"]) > 4


_TWICE = """
import dataclasses, sys
texts = []
def note(event, given):
    if event == "compile" and given[0]:
        texts.append(given[0])
sys.addaudithook(note)
for _ in range(2):
    @dataclasses.dataclass(frozen=True, slots=True)
    class Made:
        number: int
print(len(texts), len(set(texts)))
"""


def test_python_compiles_the_methods_of_a_data_class_whenever_it_is_made() -> None:
    """``machine/methods.py`` keeps what was compiled; it takes the place of one built-in name."""
    ran = subprocess.run([sys.executable, "-c", _TWICE], capture_output=True, check=True)
    compiled, different = map(int, ran.stdout.split())
    assert compiled == 2 * different > 0
