"""The metronome live for minutes on end, the page busy meanwhile: how even it is, and any drift.

``python -m tests.screen.steady --minutes 10`` plays 40, 120 and 208 at once in headless Chromium
and tells for each the widest interval's error and how far the last click is from where it belongs.
"""

import argparse
import json
import sys
import tempfile
from itertools import pairwise
from pathlib import Path

from tests.screen.opened import with_modules

SCRIPT = """(async () => {
    const { Instrument, Player } = await import("./player.js");
    const { take } = await import("./takes.js");
    const worklet = `registerProcessor("onsets", class extends AudioWorkletProcessor {
        constructor() { super(); this.quiet = 1e9; }
        process([input]) {
            (input[0] ?? []).forEach((sample, i) => {
                if (Math.abs(sample) > 0.05) {
                    if (this.quiet > 0.02 * sampleRate) this.port.postMessage(currentFrame + i);
                    this.quiet = 0;
                } else this.quiet += 1;
            });
            return true;
        }
    });`;
    const address = URL.createObjectURL(new Blob([worklet], { type: "text/javascript" }));
    window.plays = await Promise.all(MARKS.map(async (mark) => {
        const device = new AudioContext();
        await device.resume();
        await device.audioWorklet.addModule(address);
        const recorder = new AudioWorkletNode(device, "onsets");
        const times = [];
        recorder.port.onmessage = ({ data }) => times.push(data / device.sampleRate);
        const instrument = new Instrument(device);
        instrument.levels.clicks.connect(recorder);
        recorder.connect(device.destination);
        const player = new Player(instrument);
        const heard = { unit: 1, countIn: 4, end: 4, beats: "BbbbBbbb", notes: [] };
        player.start(take(heard, mark), Infinity, () => {});
        return { mark, player, times };
    }));
    setInterval(() => { const end = performance.now() + 30; while (performance.now() < end); }, 60);
    return window.plays.length;
})()"""


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=10)
    options = parser.parse_args()
    marks = [40, 120, 208]
    with tempfile.TemporaryDirectory() as folder, with_modules(Path(folder)) as page:
        page.evaluate(SCRIPT.replace("MARKS", json.dumps(marks)))
        ends = f"performance.now() > {options.minutes * 60000}"
        page.wait_for(ends, options.minutes * 60 + 60)
        found = page.evaluate("plays.map(({ mark, player, times }) => [mark, player.late, times])")
    worst = 0.0
    for mark, late, times in found:
        apart = 60 / mark / (2 if mark < 50 else 1)
        uneven = max(abs(b - a - apart) for a, b in pairwise(times))
        drift = abs(times[-1] - times[0] - (len(times) - 1) * apart)
        worst = max(worst, uneven, drift)
        print(f"{mark:4}: {len(times)} clicks, uneven by {1000 * uneven:.3f} ms at most, "
              f"drift {1000 * drift:.3f} ms, {late} late")  # fmt: skip
    return 0 if worst <= 0.001 else 1


if __name__ == "__main__":
    sys.exit(main())
