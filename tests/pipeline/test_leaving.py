"""A program that ends at once has done all that it had to."""

import subprocess
import sys

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
