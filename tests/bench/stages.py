"""``python -m tests.bench.stages MARKS OUT``: seconds by stage of a cold build, as JSON."""

import gc
import json
import sys
import time
from pathlib import Path


def main() -> None:
    """Build, and print what the clock said at every stage; ``loading`` are our own modules."""
    gc.disable()
    marks = [("loading", time.perf_counter())]
    from engrave.pipeline.stages import build

    build(
        Path(sys.argv[1]), Path(sys.argv[2]), tell=lambda s: marks.append((s, time.perf_counter()))
    )
    ends = [when for _, when in marks[1:]] + [time.perf_counter()]
    print(json.dumps({stage: end - start for (stage, start), end in zip(marks, ends, strict=True)}))


if __name__ == "__main__":
    main()
