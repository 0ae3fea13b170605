"""The whole command on broken input.

``python -m tests.robustness.fuzz --marks 10000 --scores 2000 --logs 2000 --desk 2000`` breaks so
many files and requests: marks and scores go through ``engrave check``, and each tenth that passes
through ``engrave build``, each tenth score through ``survey`` and ``new`` as well; logs are taken
in; what pages send goes to a desk. What must hold stands in the trials, and in ``worker`` the time
and the memory that a case may take. Seeds that fail are printed; what they showed is kept in
``cases``. Kinds take turns, so that what an interrupt or ``--minutes`` ends has tried all of them.
"""

import argparse
import signal
import sys
import time
from collections import Counter

from tests.robustness.trial import Case
from tests.robustness.worker import Result, Worker

_TOLD_EACH = 1000


def main() -> int:
    """Run as many cases as asked, print what failed and the counts."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--marks", type=int, default=200)
    parser.add_argument("--scores", type=int, default=50)
    parser.add_argument("--logs", type=int, default=50)
    parser.add_argument("--desk", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1, help="the first seed")
    parser.add_argument("--build-each", type=int, default=10, metavar="N", help="build each Nth")
    parser.add_argument("--minutes", type=float, default=24 * 60, help="end after so many")
    options = parser.parse_args()
    counts = {
        "marks": options.marks,
        "score": options.scores,
        "log": options.logs,
        "desk": options.desk,
    }
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    end = time.monotonic() + 60 * options.minutes
    worker, results = Worker(), []
    try:
        for case in _in_turn(counts, options.seed):
            if time.monotonic() > end:
                break
            results.append(worker.run(case, with_more=case.seed % options.build_each == 0))
            if results[-1].wrong:
                print(f"{case.kind} {case.seed}: {results[-1].wrong}", flush=True)
            if len(results) % _TOLD_EACH == 0:
                print(f"{len(results)} cases so far, the last: {case}", flush=True)
    except KeyboardInterrupt:
        pass
    worker.end()
    _print_counts(results)
    return 1 if any(result.wrong for result in results) else 0


def _in_turn(counts: dict[str, int], seed: int) -> list[Case]:
    """All cases, every kind spread over the whole."""
    placed = [
        (number / count, kind, seed + number)
        for kind, count in counts.items()
        for number in range(count)
    ]
    return [Case(kind, seed) for _, kind, seed in sorted(placed)]


def _print_counts(results: list[Result]) -> None:
    for kind in dict.fromkeys(result.case.kind for result in results):
        came = Counter(result.came for result in results if result.case.kind == kind)
        wrong = sum(bool(result.wrong) for result in results if result.case.kind == kind)
        counts = ", ".join(f"{name} {count}" for name, count in came.most_common())
        print(f"{kind}: {came.total()}: {counts}; not as agreed {wrong}")
    slowest = max(results, key=lambda result: result.seconds, default=None)
    largest = max(results, key=lambda result: result.peak, default=None)
    if slowest and largest:
        print(f"slowest: {slowest.seconds:.1f} s ({slowest.case.kind} {slowest.case.seed})")
        print(f"largest: {largest.peak / 2**20:.0f} MiB ({largest.case.kind} {largest.case.seed})")


if __name__ == "__main__":
    sys.exit(main())
