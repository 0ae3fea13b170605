"""The manual page and the completion of the shells: made from the parsers, and of use."""

import shutil
import subprocess
from pathlib import Path

import pytest

from engrave.cli.commands import parser_of
from engrave.cli.manual import PAGE, manual
from engrave.cli.speaking import parsers


def test_the_page_is_what_the_parsers_say() -> None:
    assert PAGE.read_text("utf-8") == manual(), "python -m engrave.cli.manual writes it anew"


def test_every_command_and_option_is_on_the_page() -> None:
    page = manual().replace(r"\-", "-")
    for parser in parsers(parser_of()):
        for action in parser._actions:
            if action.dest not in ("help", "version", "command"):
                for name in action.option_strings:
                    assert rf"\fB{name}\fR" in page
        if parser.prog != "engrave":
            assert f".SS {parser.prog.split()[-1]}" in page


@pytest.mark.skipif(shutil.which("groff") is None, reason="needs groff")
def test_roff_has_nothing_against_it() -> None:
    command = ["groff", "-man", "-Tutf8", "-ww", "-z", str(PAGE)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    assert done.stderr == ""


BASH = """
source "$1"
COMP_WORDS=(engrave "${@:2}"); COMP_CWORD=$#; ((COMP_CWORD--))
_shtab_engrave engrave "${@: -1}" "${@: -2:1}"
printf '%s\\n' "${COMPREPLY[@]}"
"""


@pytest.mark.skipif(shutil.which("bash") is None, reason="needs bash")
def test_bash_completes_commands_options_words_and_files(tmp_path: Path) -> None:
    shtab = pytest.importorskip("shtab")
    script = tmp_path / "engrave.bash"
    script.write_text(shtab.complete(parser_of(), "bash"), "utf-8")
    (tmp_path / "rondo.yaml").touch()

    def completed(*words: str) -> list[str]:
        command = ["bash", "-c", BASH, "bash", str(script), *words]
        return subprocess.run(
            command, capture_output=True, text=True, check=True, cwd=tmp_path
        ).stdout.split()

    assert completed("bu") == ["build"]
    assert completed("build", "--edi") == ["--edition"]
    assert completed("build", "--edition", "s") == ["student", "stand", "screen"]
    assert completed("build", "ron") == ["rondo.yaml"]
