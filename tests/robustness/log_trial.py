"""One broken log taken in by the whole command, shown and checked, and what must hold of it.

What is refused changes nothing; what is taken in keeps every entry that stood there, can be read
again without a mistake, and is known the second time.
"""

import random
from pathlib import Path

from engrave.errors import EngraveError
from engrave.log.reading import read_log_bytes
from tests.pipeline.demo import lay_out
from tests.robustness.broken_logs import broken_log
from tests.robustness.telling import run, wrongly_told

MARKS = """piece: {title: Lantern Rondo, composer: Orla Windhaber}
score: lantern-rondo.musicxml
student: {name: Nell Averdine}
lesson: 2027-02-20
log: nell.log.yaml
passages: [{id: run-to-the-lantern, measures: 46.1-48.1, hand: right, drills: [rhythms]}]
"""


def log_problem(folder: Path, chance: random.Random, with_check: bool) -> tuple[str, str]:
    """How far a broken log came, and what went wrong on the way."""
    marks = lay_out(folder)
    marks.write_text(MARKS, "utf-8")
    own, sent = folder / "nell.log.yaml", folder / "sent.log.yaml"
    if chance.random() < 0.3:
        return _its_own(marks, own, broken_log(chance), with_check)
    sent.write_bytes(broken_log(chance))
    if chance.random() < 0.3:
        own.unlink()
    options = [each for each in ("--rest", "--others") if chance.random() < 0.5]
    before = own.read_bytes() if own.exists() else b""
    code, told = run(["log", str(marks), str(sent), *options])
    wrong = wrongly_told(code, told, rest="--rest" in options)
    after = own.read_bytes() if own.exists() else b""
    if wrong or code:
        changed = "" if after == before else "refused, but the log is not as it was"
        return "refused", wrong or changed
    log = read_log_bytes(after, "after")
    if log.mistakes or not set(read_log_bytes(before, "before").entries) <= set(log.entries):
        return "taken in", f"the log is damaged: {log.mistakes[:1]}"
    code, told = run(["log", str(marks), str(sent), *options])
    if code or (own.exists() and own.read_bytes() != after):
        return "taken in", f"not known the second time: {told}"
    return "taken in", ""


def _its_own(marks: Path, own: Path, data: bytes, with_check: bool) -> tuple[str, str]:
    """The log that the marks name is the broken one."""
    own.write_bytes(data)
    for arguments in (["log", str(marks)], *([["check", str(marks)]] if with_check else [])):
        code, told = run(arguments)
        wrong = wrongly_told(code, told)
        if not wrong and own.read_bytes() != data:
            wrong = "what was only read is not as it was"
        try:
            is_sound = not read_log_bytes(data, "own").mistakes
        except EngraveError:
            is_sound = False
        if not wrong and code == 0 and not is_sound:
            wrong = "built from a log with mistakes in it"
        if wrong:
            return "failed", wrong
    return {0: "shown", 2: "refused"}[code], ""
