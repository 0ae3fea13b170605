"""The whole command on broken input.

``python -m tests.robustness.fuzz --marks 10000 --scores 2000`` breaks so many files and sends every
one through ``engrave check``, and each tenth that passes through ``engrave build``. What must hold
stands in ``trial``, and in ``worker`` the time and the memory that a case may take. Seeds that fail
are printed; what they showed is kept in ``cases``.
"""

import argparse
import sys
from collections import Counter

from tests.robustness.trial import Case
from tests.robustness.worker import Result, Worker


def main() -> int:
    """Run as many cases as asked, print what failed and the counts."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--marks", type=int, default=200)
    parser.add_argument("--scores", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1, help="the first seed")
    parser.add_argument("--build-each", type=int, default=10, metavar="N", help="build each Nth")
    options = parser.parse_args()
    seeds = {"marks": options.marks, "score": options.scores}
    cases = [Case(kind, options.seed + i) for kind, count in seeds.items() for i in range(count)]
    worker, results = Worker(), []
    for case in cases:
        results.append(worker.run(case, with_build=case.seed % options.build_each == 0))
        if results[-1].wrong:
            print(f"{case.kind} {case.seed}: {results[-1].wrong}", flush=True)
    worker.end()
    _print_counts(results)
    return 1 if any(result.wrong for result in results) else 0


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
