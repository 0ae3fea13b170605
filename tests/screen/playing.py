"""A drill played through on the page by a clock of ours, and what of it lit and sounded when."""

from typing import Any

import pytest

from engrave.sound import Head, Timeline

CLOCK = """(() => {
    const sim = window.sim = { now: 0, frames: [], timers: [], starts: [], levels: [] };
    Object.defineProperty(BaseAudioContext.prototype, "currentTime", { get: () => sim.now });
    Object.defineProperty(BaseAudioContext.prototype, "state", { get: () => "running" });
    Object.defineProperty(AudioContext.prototype, "outputLatency", { get: () => 0 });
    window.requestAnimationFrame = (work) => sim.frames.push(work);
    window.cancelAnimationFrame = () => { sim.frames = []; };
    const later = window.setTimeout;
    window.setTimeout = (work, wait) => wait === 40 ? sim.timers.push(work) : later(work, wait);
    AudioBufferSourceNode.prototype.start = function start(at) {
        sim.starts.push([at, this.buffer.sampleRate === 22050 ? "note" : "click"]);
    };
    AudioScheduledSourceNode.prototype.stop = () => {};
    AudioBufferSourceNode.prototype.stop = () => {};
    AudioParam.prototype.setTargetAtTime = function set(value) { sim.levels.push(value); };
    sim.step = (seconds) => {
        sim.now += seconds;
        for (const work of [...sim.timers.splice(0), ...sim.frames.splice(0)]) work();
    };
})()"""
"""A clock of ours in the place of the device's, the page's timers and its frames."""

STEP = 0.01


def play_through(heard: Timeline, mark: int) -> str:
    """The script that plays the drill that is shown, frame by frame, and tells what it saw."""
    quarter = 60 / (mark * float(heard.unit))
    total = float(heard.count_in + heard.end) * quarter
    return f"""(async () => {{
        sim.starts = [];
        document.querySelector("#controls [data-part=play]").click();
        for (let tries = 0; !sim.timers.length && tries < 100; tries += 1)
            await new Promise((go) => setTimeout(go, 5));
        const zero = sim.now + 0.15;
        const frames = [];
        let before = "";
        for (let i = 0; i < {total / STEP + 40}; i += 1) {{
            sim.step({STEP});
            const lit = [...document.querySelectorAll(".light.lit")]
                .map((each) => Number(each.dataset.head)).sort((a, b) => a - b).join(" ");
            if (lit !== before) frames.push([sim.now - zero, lit]);
            before = lit;
        }}
        return {{ frames, starts: sim.starts.map(([at, kind]) => [at - zero, kind]),
            playing: document.querySelector("footer").classList.contains("playing") }};
    }})()"""


def compare(name: str, heard: Timeline, mark: int, found: dict[str, Any]) -> None:
    """What lit and sounded is what the timeline says, when it says it."""
    quarter = 60 / (mark * float(heard.unit))
    notes = sorted(at for at, kind in found["starts"] if kind == "note")
    expected = sorted(float(each.start + heard.count_in) * quarter for each in heard.soundings)
    assert notes == pytest.approx(expected, abs=1e-6), name
    clicks = sorted(at for at, kind in found["starts"] if kind == "click")
    times = [float(each.time + heard.count_in) * quarter for each in heard.clicks]
    assert clicks == pytest.approx(times, abs=1e-6), name
    heads = dict.fromkeys(head for each in heard.soundings for head in each.heads)
    numbers = {head: number for number, head in enumerate(heads)}
    changes = found["frames"]
    assert changes, name
    for at, lit in changes:
        now = {int(each) for each in lit.split()}
        near = [lit_at(heard, mark, at + by, numbers) for by in (-2e-6, 0.0, 2e-6)]
        assert set.intersection(*near) <= now <= set.union(*near), (name, at)
    assert {int(n) for _, lit in changes for n in lit.split()} == set(numbers.values()), name
    assert not found["playing"], name


def lit_at(heard: Timeline, mark: int, seconds: float, number: dict[Head, int]) -> set[int]:
    quarter = 60 / (mark * float(heard.unit))
    found: set[int] = set()
    for each in heard.soundings:
        at = float(each.start + heard.count_in) * quarter
        if at <= seconds < at + float(each.length) * quarter:
            found |= {number[head] for head in each.heads}
    return found
