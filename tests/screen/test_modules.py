"""The modules of the screen edition one by one, in a browser: rule, log, clock, clicks."""

import json
import random
from datetime import date
from fractions import Fraction
from itertools import pairwise

import pytest

from engrave.log import Entry, Practised, entry_line
from engrave.log.reading import read_log_bytes
from engrave.music.tempo import SCALE
from tests.watch.browser import Page, executable

pytestmark = pytest.mark.skipif(executable() is None, reason="needs Chromium")


def ruled(playings: list[bool], last: int) -> list[tuple[int, int, int, str]]:
    """The booklet's rule, said once more: three clean running one up, twice not yet one back."""
    box, streak, misses, found = 0, 0, 0, []
    for clean in playings:
        came = ""
        if clean:
            streak += 1
            if streak == 3:
                box, streak, misses, came = min(box + 1, last), 0, 0, "ticked"
        else:
            streak, misses = 0, misses + 1
            if misses == 2:
                box, misses, came = max(box - 1, 0), 0, "back"
        found.append((box, streak, misses, came))
    return found


def test_the_rule_of_the_boxes(page: Page) -> None:
    chance = random.Random(4)
    cases = [
        ([chance.random() < 0.7 for _ in range(chance.randint(1, 60))], chance.randint(0, 12))
        for _ in range(400)
    ]
    found = page.evaluate(f"""(async () => {{
        const {{ begin, judged }} = await import("./pace.js");
        return {json.dumps(cases)}.map(([playings, last]) => {{
            let state = begin(Array.from({{ length: last + 1 }}, (_, i) => 40 + i), 0);
            return playings.map((clean) => {{
                state = judged(state, clean, last);
                return [state.at, state.clean, state.missed, state.came];
            }});
        }});
    }})()""")
    assert [[tuple(each) for each in case] for case in found] == [ruled(*each) for each in cases]


def test_the_ladder_begins_above_what_is_reached(page: Page) -> None:
    found = page.evaluate("""(async () => {
        const { begin } = await import("./pace.js");
        return [null, 40, 43, 44, 60, 99].map((reached) => begin([40, 44, 48], reached).at);
    })()""")
    assert found == [0, 1, 1, 2, 2, 2]


WORDS = (
    "",
    "the thumb again",
    'she said "slower"',
    "back\\slash",
    "Köln — ♪",
    "a: b, {c}",
    "plain",
)


def entries() -> list[Entry]:
    chance = random.Random(7)
    found = []
    for number in range(60):
        tried = chance.random() < 0.8
        is_drill = chance.random() < 0.7
        what = Practised(
            "run.rhythms.long-short" if is_drill else "run",
            is_drill,
            chance.choice(SCALE) if tried else None,
            chance.choice([Fraction(1), Fraction(3, 2), Fraction(1, 2), Fraction(5, 4)])
            if tried
            else None,
            chance.randint(0, 3) if tried else None,
            Fraction(chance.randint(0, 300), 10) if chance.random() < 0.5 else None,
            chance.choice(WORDS),
        )
        day = date(2027, 2, 1 + number % 28)
        key = f"{chance.getrandbits(128):032x}"
        found.append(Entry(key, day, "9f2a" * 4, "03b7" * 4, what))
    return found


def test_a_log_goes_out_and_comes_back_as_the_tool_reads_it(page: Page) -> None:
    made = entries()
    lines = "".join(f"{entry_line(each)}\n" for each in made)
    text = json.dumps(f"log: 1\nentries:\n{lines}")
    found = page.evaluate(f"""(async () => {{
        const {{ read, written, union }} = await import("./log.js");
        const found = read({text});
        const text = written(union(found.entries, found.entries));
        return {{ text, strange: found.strange, again: read(text).entries.length }};
    }})()""")
    assert (found["strange"], found["again"]) == (0, len(made))
    log = read_log_bytes(found["text"].encode(), "sent.log.yaml")
    assert log.mistakes == ()
    assert set(log.entries) == set(made)


def test_what_is_no_log_is_refused_and_strange_lines_are_counted(page: Page) -> None:
    found = page.evaluate("""(async () => {
        const { read } = await import("./log.js");
        const head = "log: 1\\nentries:\\n";
        const strange = ["- {id: 1", "- {id: a, day: b, id: c}", "- {id: a, day: b, alien: c}"];
        return [read("log: 2\\nentries:\\n"), read("<html>"), read(""),
                read(head + strange.join("\\n"))];
    })()""")
    assert found[:3] == [None, None, None]
    assert found[3] == {"entries": [], "strange": 3}


PEAKS = """
    const starts = (samples, rate) => {
        const found = [];
        let quiet = 0;
        for (let i = 0; i < samples.length; i += 1) {
            if (Math.abs(samples[i]) > 0.05) {
                if (quiet > 0.02 * rate || !found.length) found.push(i / rate);
                quiet = 0;
            } else quiet += 1;
        }
        return found;
    };
    const metronome = (unit, count) => ({
        unit, countIn: 4 * unit, end: count * unit, beats: "Bbbb".repeat(1 + count / 4), notes: [],
    });
"""


def test_rendered_offline_clicks_are_where_they_belong_at_every_mark(page: Page) -> None:
    """Through the player itself: the device stops every half second, and the player goes on."""
    found = page.evaluate(f"""(async () => {{
        {PEAKS}
        const {{ Instrument, Player }} = await import("./player.js");
        const {{ take }} = await import("./takes.js");
        const heard = [];
        for (const mark of {json.dumps(SCALE)}) {{
            const played = take(metronome(1, 4), mark);
            const length = played.seconds + 0.4;
            const device = new OfflineAudioContext(1, Math.ceil(length * 44100), 44100);
            const player = new Player(new Instrument(device), () => 0, () => 0);
            player.start(played, 1, () => {{}});
            for (let at = 0.5; at < length; at += 0.5) {{
                device.suspend(at).then(() => {{
                    if (player.isPlaying) player.go();
                    device.resume();
                }});
            }}
            const samples = (await device.startRendering()).getChannelData(0);
            heard.push([starts(samples, 44100), player.late]);
        }}
        return heard;
    }})()""")
    for mark, (times, late) in zip(SCALE, found, strict=True):
        apart = 60 / mark / (2 if mark < 50 else 1)
        assert len(times) == 8 * (2 if mark < 50 else 1), mark
        assert max(abs(b - a - apart) for a, b in pairwise(times)) <= 0.001, mark
        assert late == 0


def test_live_and_the_page_blocked_clicks_are_where_they_belong(page: Page) -> None:
    """The output is recorded by an audio worklet while the page is busy 30 ms at a time."""
    found = page.evaluate(f"""(async () => {{
        {PEAKS}
        const {{ Instrument, Player }} = await import("./player.js");
        const {{ take }} = await import("./takes.js");
        const worklet = `registerProcessor("recorder", class extends AudioWorkletProcessor {{
            process([input]) {{
                this.port.postMessage([currentFrame, input[0] ? input[0].slice() : null]);
                return true;
            }}
        }});`;
        const address = URL.createObjectURL(new Blob([worklet], {{ type: "text/javascript" }}));
        const plays = await Promise.all([40, 120, 208].map(async (mark) => {{
            const device = new AudioContext();
            await device.resume();
            await device.audioWorklet.addModule(address);
            const recorder = new AudioWorkletNode(device, "recorder");
            const samples = new Float32Array(8 * device.sampleRate);
            recorder.port.onmessage = ({{ data: [frame, block] }}) => {{
                if (block && frame + block.length < samples.length) samples.set(block, frame);
            }};
            const instrument = new Instrument(device);
            instrument.levels.clicks.connect(recorder);
            recorder.connect(device.destination);
            const player = new Player(instrument);
            player.start(take(metronome(1, 4), mark), Infinity, () => {{}});
            return {{ mark, device, player, samples }};
        }}));
        const end = performance.now() + 5000;
        while (performance.now() < end) {{
            const busy = performance.now() + 30;
            while (performance.now() < busy);
            await new Promise((go) => setTimeout(go, 4));
        }}
        return plays.map(({{ mark, device, player, samples }}) => {{
            const times = starts(samples, device.sampleRate);
            const {{ late }} = player;
            player.stop();
            device.close();
            return [mark, times, late];
        }});
    }})()""")
    for mark, times, late in found:
        apart = 60 / mark / (2 if mark < 50 else 1)
        assert len(times) >= 5, mark
        assert max(abs(b - a - apart) for a, b in pairwise(times[:-1])) <= 0.001, mark
        assert late == 0


def test_in_ten_minutes_by_a_clock_of_ours_nothing_drifts(page: Page) -> None:
    found = page.evaluate("""(async () => {
        const { Player } = await import("./player.js");
        const { take } = await import("./takes.js");
        return [40, 66, 120, 208].map((mark) => {
            const timers = [];
            const device = { currentTime: 0, outputLatency: 0 };
            const clicks = [];
            const click = (kind, at) => { clicks.push(at); return { stop() {} }; };
            const instrument = { device, click, ready() {} };
            const player = new Player(instrument, (work) => timers.push(work), () => 0);
            const heard = { unit: 1, countIn: 2, end: 6, beats: "BbBbBbBb", notes: [] };
            player.start(take(heard, mark), Infinity, () => {});
            while (device.currentTime < 600) {
                device.currentTime += 0.02 + 0.05 * Math.abs(Math.sin(timers.length));
                timers.shift()?.();
            }
            return [mark, clicks.slice(0, 1), clicks.slice(-1), clicks.length, player.late];
        });
    })()""")
    for mark, (first,), (last,), count, late in found:
        apart = 60 / mark / (2 if mark < 50 else 1)
        assert last > 599
        assert late == 0
        assert abs((last - first) - (count - 1) * apart) < 1e-6


def test_what_is_late_is_silent_and_what_follows_in_time(page: Page) -> None:
    """The page stands still for three seconds, twice as long as is scheduled ahead."""
    found = page.evaluate("""(async () => {
        const { Player } = await import("./player.js");
        const { take } = await import("./takes.js");
        const timers = [];
        const device = { currentTime: 0, outputLatency: 0 };
        const clicks = [];
        const click = (kind, at) => {
            clicks.push([at, device.currentTime]);
            return { stop() {} };
        };
        const instrument = { device, click, ready() {} };
        const player = new Player(instrument, (work) => timers.push(work), () => 0);
        const heard = { unit: 1, countIn: 2, end: 6, beats: "BbBbBbBb", notes: [] };
        player.start(take(heard, 120), Infinity, () => {});
        for (const seconds of [1, 3, 1, 1]) {
            device.currentTime += seconds;
            timers.shift()();
        }
        return [clicks, player.late];
    })()""")
    clicks, late = found
    times = [at for at, _ in clicks]
    assert all(at >= now for at, now in clicks)
    assert late == 3  # at 2.65, 3.15 and 3.65 s, while the clock stood at 4
    assert sorted(times) == times
    assert {round((at - times[0]) / 0.5, 6) % 1 for at in times} == {0}


def test_a_string_is_in_tune_falls_and_never_clips(page: Page) -> None:
    """Equal temperament, A4 = 440 Hz (ISO 16): the first partial is the loudest at its pitch."""
    found = page.evaluate("""(async () => {
        const { string, RATE } = await import("./tone.js");
        return [33, 45, 57, 69, 81, 93].map((key) => {
            const samples = string(key);
            const pitch = 440 * 2 ** ((key - 69) / 12);
            const level = (cents) => {
                const w = (2 * Math.PI * pitch * 2 ** (cents / 1200)) / RATE;
                let [a, b] = [0, 0];
                for (let i = 0; i < RATE * 0.8; i += 1) {
                    a += samples[i] * Math.cos(w * i);
                    b += samples[i] * Math.sin(w * i);
                }
                return Math.hypot(a, b);
            };
            const levels = [-60, -30, 0, 30, 60].map(level);
            const part = (from, to) => Math.hypot(...samples.slice(from * RATE, to * RATE));
            return {
                best: levels.indexOf(Math.max(...levels)),
                most: samples.reduce((most, each) => Math.max(most, Math.abs(each)), 0),
                falls: part(0.4, 0.6) < 0.9 * part(0.02, 0.22),
                ends: Math.abs(samples.at(-1)),
            };
        });
    })()""")
    for each in found:
        assert each["best"] == 2
        assert each["falls"]
        assert 0.5 < each["most"] <= 1
        assert each["ends"] < 0.002


def test_pages_of_systems(page: Page) -> None:
    found = page.evaluate("""(async () => {
        const { divided } = await import("./stops.js");
        return [divided([50, 50, 50], 100), divided([200, 10], 100), divided([30], 100)];
    })()""")
    assert found == [[[0, 1], [2]], [[0], [1]], [[0]]]


def test_music_is_shown_in_the_size_whose_width_is_reached(page: Page) -> None:
    found = page.evaluate("""(async () => {
        const { sizeFor } = await import("./music.js");
        const sizes = [{ from: 0 }, { from: 640 }, { from: 1000 }];
        return [320, 639, 640, 999, 1000, 2000].map((width) => sizeFor(sizes, width).from);
    })()""")
    assert found == [0, 0, 640, 640, 1000, 1000]


def test_a_break_is_due_after_twenty_minutes_of_practice_and_once(page: Page) -> None:
    found = page.evaluate("""(async () => {
        const { Sitting } = await import("./sitting.js");
        const sitting = new Sitting();
        const due = [];
        for (let minute = 0; minute < 30; minute += 1) {
            sitting.touch(minute * 60000);
            if (sitting.isDue()) due.push(minute);
        }
        sitting.touch(60 * 60000);
        const anew = sitting.minutes;
        for (let minute = 60; minute <= 82; minute += 1) {
            sitting.touch(minute * 60000);
            if (sitting.isDue()) due.push(minute);
        }
        return [due, anew];
    })()""")
    assert found == [[20, 80], 0]
