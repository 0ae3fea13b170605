"""Commands run by somebody to whom folders can be closed, also where the tests are root's.

Root may search every folder because of two capabilities (capabilities(7), ``CAP_DAC_OVERRIDE`` and
``CAP_DAC_READ_SEARCH``). A process gives them away for itself and all it begins, and is then judged
by the modes of what it owns, as everybody is.
"""

import ctypes
import json
import os
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

_PR_CAPBSET_DROP = 24
_CAPABILITIES = (1, 2)
_CHILD = """
import contextlib, io, json, sys
from engrave.cli import main
answers = []
for arguments in json.loads(sys.argv[1]):
    told = io.StringIO()
    with contextlib.redirect_stderr(told), contextlib.redirect_stdout(io.StringIO()):
        answers.append((main(arguments), told.getvalue()))
print(json.dumps(answers))
"""


def _give_away() -> None:
    library = ctypes.CDLL(None, use_errno=True)
    for capability in _CAPABILITIES:
        if library.prctl(_PR_CAPBSET_DROP, capability, 0, 0, 0):
            raise OSError(ctypes.get_errno(), "a capability cannot be given away")


def begin(
    arguments: Sequence[str], here: Path, environment: Mapping[str, str] = {}
) -> "subprocess.Popen[str]":
    """Begin a Python process without those rights in the folder ``here``."""
    return subprocess.Popen(
        [sys.executable, *arguments],
        cwd=here,
        env=os.environ | environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        preexec_fn=_give_away if os.geteuid() == 0 else None,
    )


def run(
    commands: Sequence[Sequence[str]], here: Path, environment: Mapping[str, str] = {}
) -> list[tuple[int, str]]:
    """The exit code of each command and what it told, all run in one such process."""
    process = begin(["-c", _CHILD, json.dumps(commands)], here, environment)
    answer, told = process.communicate(timeout=120)
    assert process.returncode == 0, told
    return [(code, said) for code, said in json.loads(answer.splitlines()[-1])]


def can_be_searched(folder: Path) -> bool:
    """Whether such a process can look into ``folder``."""
    script = "import os, sys; os.stat(os.path.join(sys.argv[1], '.'))"
    process = begin(["-c", script, str(folder)], folder.parent)
    process.communicate(timeout=60)
    return process.returncode == 0
