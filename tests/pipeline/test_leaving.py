"""A program that ends at once has done all that it had to."""

import os
import subprocess
import sys
from pathlib import Path

LEAVES = """
import atexit
from engrave.machine.leaving import leave

class Held:
    def __del__(self):
        print("taken apart")

held = Held()
atexit.register(print, "done at the end")
print("said", end=" ")
leave(3)
"""


def test_what_was_said_is_out_and_nothing_is_taken_apart() -> None:
    done = subprocess.run(
        [sys.executable, "-c", LEAVES], capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stdout, done.stderr) == (3, "said done at the end\n", "")


POOLED = """
from engrave.machine.leaving import leave
from engrave.machine.workers import new_pool

if __name__ == "__main__":
    pool = new_pool(2)
    assert pool.submit(abs, -7).result() == 7
    leave(3)
"""


def test_a_pool_that_nobody_ended_ends_with_the_program(tmp_path: Path) -> None:
    """Its processes wait for work, and hear that there is none before they are waited for."""
    program = tmp_path / "pooled.py"
    program.write_text(POOLED, "utf-8")
    ours = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])}
    for _ in range(3):
        done = subprocess.run([sys.executable, program], timeout=60, check=False, env=ours)
        assert done.returncode == 3
