"""The end of the program, at once.

Enters: an exit code. Leaves: nothing. Before a process ends Python takes apart all that it holds,
object by object; of a build that is a fiftieth, and its memory goes with the process anyway.
"""

import atexit
import os
import sys
import threading
from contextlib import suppress
from typing import NoReturn


def leave(code: int) -> NoReturn:
    """End the process: what is to be done at its end is done, and nothing taken apart.

    In the order in which Python does it: threads, and the pools that they manage, end first. What
    multiprocessing does at the end would otherwise close a pool's queue before its processes have
    been told to end, and wait for them for good.
    """
    threading._shutdown()  # type: ignore[attr-defined]
    atexit._run_exitfuncs()
    for stream in (sys.stdout, sys.stderr):
        with suppress(OSError, ValueError):  # nobody is left to be told
            stream.flush()
    os._exit(code)
