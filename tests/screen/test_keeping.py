"""What the screen edition keeps on the device, and what of it becomes entries of the log."""

import pytest

from tests.watch.browser import Page, executable

pytestmark = pytest.mark.skipif(executable() is None, reason="needs Chromium")

KEPT = """
    const { Store } = await import("./store.js");
    const { Practice } = await import("./practice.js");
    const kept = (room = Infinity) => {
        const texts = new Map();
        return {
            texts,
            getItem: (name) => texts.get(name) ?? null,
            removeItem: (name) => texts.delete(name),
            setItem(name, text) {
                if (text.length > room) throw new DOMException("full", "QuotaExceededError");
                texts.set(name, text);
            },
        };
    };
    const keys = { piece: "9f2a9f2a9f2a9f2a", student: "03b703b703b703b7" };
    const entry = (id, mark) => ({
        id: id.repeat(32), day: "2027-02-01", ...keys,
        passage: "run", mark, beat: "quarter", clean: 3,
    });
"""
"""What keeps and counts; a storage of ours, with so much room for a text, and what is put there."""


def test_what_is_kept_is_found_by_piece_and_student_alone(page: Page) -> None:
    found = page.evaluate(f"""(async () => {{
        {KEPT}
        const storage = kept();
        new Store(keys, storage).put("run.chain", {{ at: 3 }});
        const other = {{ ...keys, student: "0000000000000000" }};
        return [[...storage.texts.keys()], new Store(keys, storage).states,
            new Store(other, storage).states];
    }})()""")
    name = "engrave 9f2a9f2a9f2a9f2a 03b703b703b703b7"
    assert found == [[name], {"run.chain": {"at": 3}}, {}]


def test_two_windows_keep_what_each_has_done(page: Page) -> None:
    """Both opened before either did anything."""
    found = page.evaluate(f"""(async () => {{
        {KEPT}
        const storage = kept();
        new Store(keys, storage).put("one", {{ at: 0 }});
        const [some, other] = [new Store(keys, storage), new Store(keys, storage)];
        other.put("one", {{ at: 4 }});
        other.add([entry("a", 60)]);
        some.put("two", {{ at: 1 }});
        some.add([entry("b", 66)]);
        const last = new Store(keys, storage);
        return [last.states, last.entries.map((each) => each.mark)];
    }})()""")
    assert found == [{"one": {"at": 4}, "two": {"at": 1}}, [60, 66]]


def test_what_two_windows_have_open_is_entered_once(page: Page) -> None:
    """Both opened with a playing that is not yet in the log, and both come to the record."""
    found = page.evaluate(f"""(async () => {{
        {KEPT}
        const ladder = {{ marks: [40, 44], reached: null, beat: "quarter" }};
        const drill = {{ id: "run.chain", target: "drill run.chain", ladder }};
        const data = {{ keys, drills: [drill] }};
        const found = [];
        for (const goOn of [
            (window) => window.closeAll(),
            (window) => window.judge(drill, false, 60),
            (window) => window.choose(drill, 1),
        ]) {{
            const storage = kept();
            new Practice(data, new Store(keys, storage)).judge(drill, true, 60);
            const windows = [1, 2].map(() => new Practice(data, new Store(keys, storage)));
            windows[0].closeAll();
            goOn(windows[1]);
            windows[1].closeAll();
            const log = new Store(keys, storage).entries;
            found.push(log.map((each) => [each.clean, each.minutes]));
        }}
        return found;
    }})()""")
    assert found == [[[1, 1]], [[1, 1], [0, 1]], [[1, 1]]]


def test_what_is_not_understood_stays_and_a_full_storage_is_none(page: Page) -> None:
    found = page.evaluate(f"""(async () => {{
        {KEPT}
        const states = {{ run: {{ at: 2 }} }};
        const strange = JSON.stringify({{ entries: [{{ id: "later" }}], states }});
        const name = `engrave ${{keys.piece}} ${{keys.student}}`;
        return ["no JSON", strange].flatMap((text) => [Infinity, 5].map((room) => {{
            const storage = kept(room);
            storage.texts.set(name, text);
            const store = new Store(keys, storage);
            store.add([entry("a", 60)]);
            return [store.isKept, store.entries.length, store.states.run?.at ?? null,
                storage.texts.get(`${{name}} unread`) === text];
        }}));
    }})()""")
    assert found == [
        [True, 1, None, True], [False, 1, None, False],
        [True, 1, 2, True], [False, 1, 2, False],
    ]  # fmt: skip


def test_an_entry_is_of_the_day_and_the_beat_that_were_practised(page: Page) -> None:
    """Twice clean in the evening, once on the next day; then next week's ladder, in eighths."""
    found = page.evaluate(f"""(async () => {{
        {KEPT}
        const store = new Store(keys, kept());
        let day = 1;
        const now = () => new Date(2027, 1, day, 20);
        const practice = new Practice({{ keys, drills: [] }}, store, now);
        const drill = (beat) => ({{
            id: "run.chain", target: "drill run.chain",
            ladder: {{ marks: [40, 44, 48], reached: null, beat }},
        }});
        practice.judge(drill("quarter"), true, 60);
        practice.judge(drill("quarter"), true, 60);
        day = 2;
        practice.judge(drill("quarter"), true, 30);
        practice.judge(drill("quarter"), false, 30);
        practice.judge(drill("eighth"), false, 30);
        practice.close(drill("eighth"));
        return store.entries.map((each) =>
            [each.day, each.mark, each.beat, each.clean, each.minutes]);
    }})()""")
    assert found == [
        ["2027-02-01", 40, "quarter", 2, 2],
        ["2027-02-02", 40, "quarter", 3, 0.5],
        ["2027-02-02", 44, "quarter", 0, 0.5],
        ["2027-02-02", 40, "eighth", 0, 0.5],
    ]


def test_a_drill_stands_where_it_was_left_unless_the_booklet_went_on(page: Page) -> None:
    found = page.evaluate(f"""(async () => {{
        {KEPT}
        const practice = new Practice({{ keys, drills: [] }}, new Store(keys, kept()));
        const drill = (reached, marks = [40, 44, 48, 52], beat = "quarter") => ({{
            id: "run.chain", target: "drill run.chain", ladder: {{ marks, reached, beat }},
        }});
        practice.choose(drill(40), 3);
        const eighths = drill(40, [40, 44, 48, 52], "eighth");
        const others = [drill(44), drill(40, [40, 46, 52, 58]), eighths];
        return [drill(40), ...others].map((each) => practice.state(each).at);
    }})()""")
    assert found == [3, 2, 1, 1]


def test_what_was_tried_at_a_box_is_entered_when_another_is_chosen(page: Page) -> None:
    """Two clean running, then not yet: the entry has the two."""
    found = page.evaluate(f"""(async () => {{
        {KEPT}
        const store = new Store(keys, kept());
        const practice = new Practice({{ keys, drills: [] }}, store);
        const ladder = {{ marks: [40, 44], reached: null, beat: "quarter" }};
        const drill = {{ id: "run.chain", target: "drill run.chain", ladder }};
        for (const isClean of [true, true, false]) practice.judge(drill, isClean, 6);
        practice.choose(drill, 1);
        return store.entries.map((each) => [each.mark, each.clean, each.minutes]);
    }})()""")
    assert found == [[40, 2, 0.3]]


def test_an_entry_that_another_withdraws_ticks_nothing(page: Page) -> None:
    found = page.evaluate(f"""(async () => {{
        {KEPT}
        const store = new Store(keys, kept());
        const practice = new Practice({{ keys, drills: [] }}, store);
        const ladder = {{ marks: [40, 44], reached: null, beat: "quarter" }};
        const drill = {{ id: "run.whole", target: "passage run", ladder }};
        store.learn([entry("a", 44)]);
        const before = practice.ticked(drill);
        store.learn([{{
            id: "b".repeat(32), day: "2027-02-02", ...keys, withdraws: "a".repeat(32),
        }}]);
        return [before, practice.ticked(drill), store.entries.length];
    }})()""")
    assert found == [44, 0, 2]
