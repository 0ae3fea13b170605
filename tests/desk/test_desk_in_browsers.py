"""From a bare score to a printed booklet by hand, in headless Chromium, and the life of a desk."""

import shutil
import statistics
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from engrave.cli import main
from tests.desk.on_desk import Person, on_desk
from tests.pipeline.demo import lay_out
from tests.watch.browser import Page, executable, open_page
from tests.works import corpus

pytestmark = pytest.mark.skipif(executable() is None, reason="no Chromium on this machine")

DRILLS = "document.querySelector('#drills > div').shadowRoot.querySelectorAll('article').length"

BY_HAND = """\
passages:
  - measures: 46.1-48.1
    hand: right
    trouble: every thumb falls between the beats
    drills: [rhythms, chain]
    fingering: {"46.1": "2 1 2 3 1"}

  - measures: 39-40
    hand: right

  - measures: 70-71
    hand: left
"""
"""What a person would write below the head that ``engrave new`` writes too."""


@pytest.fixture
def score(tmp_path: Path) -> Path:
    marks = lay_out(tmp_path / "scores")
    marks.unlink()
    return marks.with_suffix(".musicxml")


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    return lay_out(tmp_path / "scores")


def settled(page: Page, passages: int) -> None:
    """Wait until all is saved and its drills are shown."""
    script = f"""import("./talk.js").then((talk) => talk.answered())
        .then(() => import("./store.js")).then(({{ parts }}) =>
        parts.passages?.length === {passages} && parts.drills?.length === {passages}
        && parts.mistakes?.length === 0 && parts.madeOf === parts.file.version)"""
    end = time.monotonic() + 60
    time.sleep(0.05)
    while not page.evaluate(script):
        assert time.monotonic() < end, page.evaluate(
            "import('./store.js').then(({ parts }) => JSON.stringify(parts).slice(0, 2000))"
        )
        time.sleep(0.02)


@pytest.fixture
def at_score(score: Path, tmp_path: Path) -> Iterator[Person]:
    with on_desk(score, tmp_path / "out") as (address, _), open_page(address) as page:
        person = Person(page)
        person.see(1366, 1024)
        page.wait_for("document.querySelector('.system svg')", 30)
        yield person


def test_from_a_bare_score_to_a_booklet(at_score: Person, score: Path, tmp_path: Path) -> None:
    person, page = at_score, at_score.page
    marks = score.with_suffix(".yaml")
    assert page.evaluate("document.getElementById('hear').offsetParent") is None  # no drill yet
    assert not marks.exists()
    person.draw(("46", 1), ("48", 1))
    settled(page, 1)
    person.type("#field-passages-0-trouble", "every thumb falls between the beats")
    settled(page, 1)
    person.press("#drill-mode-these")
    settled(page, 1)
    person.press("#drill-rhythms")
    settled(page, 1)
    person.press("#drill-chain")
    settled(page, 1)
    person.press("#finger-choice button")
    for digit in "21231":
        person.key(digit)
    person.key("Escape")
    settled(page, 1)
    person.draw(("39", 1), ("40", 2))
    settled(page, 2)
    x, y = person.beat("70", 1)  # click, then click
    person.click(x, y + 70)
    person.click(*(lambda place: (place[0], place[1] + 70))(person.beat("71", 2)))
    settled(page, 3)
    before = marks.read_bytes()
    person.choose(1)
    person.press("#card .quiet")
    settled(page, 2)
    page.evaluate("document.activeElement.blur()")
    person.key("z", modifiers=2)
    settled(page, 3)
    assert marks.read_bytes() == before
    assert marks.read_text("utf-8").partition("\npassages:")[2] == BY_HAND.partition("passages:")[2]
    page.evaluate("[...document.querySelectorAll('#tools button')][2].click()")
    page.wait_for("document.getElementById('pdf').dataset.state === 'made'", 60)
    by_hand = tmp_path / "by-hand" / "lantern-rondo.yaml"
    by_hand.parent.mkdir()
    by_hand.with_suffix(".musicxml").write_bytes(score.read_bytes())
    by_hand.write_text(marks.read_text("utf-8"), "utf-8")
    assert main(["check", str(by_hand)]) == 0
    assert main(["build", str(by_hand), "--out", str(tmp_path / "again")]) == 0
    name = "lantern-rondo/lantern-rondo-student.pdf"
    assert (tmp_path / "out" / name).read_bytes() == (tmp_path / "again" / name).read_bytes()


def test_what_is_drawn_may_be_let_go_beside_the_score(at_score: Person, score: Path) -> None:
    person, page = at_score, at_score.page
    x, y = person.beat("46", 1)
    person.mouse("mousePressed", x, y)
    person.mouse("mouseMoved", x + 20, y)
    person.mouse("mouseMoved", 1300, y)
    person.mouse("mouseReleased", 1300, y, pressed=False)
    settled(page, 1)
    assert "measures: 46.1\n" in score.with_suffix(".yaml").read_text("utf-8")


def test_by_keyboard_alone(at_score: Person, score: Path) -> None:
    person, page = at_score, at_score.page
    page.evaluate("document.getElementById('score').focus()")
    person.key("ArrowDown")
    for _ in range(3):
        person.key("ArrowRight", modifiers=8)
    assert "chosen" in page.evaluate("document.getElementById('voice').textContent")
    person.key("Enter")
    settled(page, 1)
    assert "measures: 0.1-2.1" in score.with_suffix(".yaml").read_text("utf-8")
    page.evaluate("document.getElementById('score').focus()")
    person.key("ArrowRight", modifiers=8)  # from the cursor on: what was marked is behind
    chosen = "import('./store.js').then(({ chosen }) => [chosen.cursor - 1, chosen.cursor])"
    assert page.evaluate("import('./store.js').then(({ chosen }) => chosen.range)") == (
        page.evaluate(chosen)
    )
    unnamed = page.evaluate(
        """[...document.querySelectorAll("button, input, textarea, a[href]")].filter((each) =>
            !(each.textContent.trim() || each.getAttribute("aria-label") || each.labels?.length)
        ).map((each) => each.outerHTML)"""
    )
    assert unnamed == []


def test_a_file_with_mistakes_opens_and_what_is_valid_can_be_edited(
    demo: Path, tmp_path: Path
) -> None:
    text = demo.read_text("utf-8")
    demo.write_text(text.replace("drills: [blocks]", "drills: [bloks]"), "utf-8")
    with on_desk(demo, tmp_path / "out") as (address, _), open_page(address) as page:
        person = Person(page)
        person.see(1366, 1024)
        page.wait_for("document.querySelectorAll('.mistake').length === 1", 30)
        page.wait_for("document.querySelectorAll('.shade.passage').length > 0")
        person.choose(0)
        person.type("#field-passages-0-remarks", "x")
        page.wait_for("!document.querySelector('#tools button').disabled")
        person.choose(1)
        assert "bloks" in page.evaluate(
            "document.querySelector('#drill-choice .wrong').textContent"
        )
        changed = demo.read_text("utf-8")
        demo.write_text(
            changed.replace("drills: [bloks]", "drills: [blocks]\n    troubel: x"), "utf-8"
        )
        page.wait_for("document.querySelector('#card > .wrong')?.textContent.includes('troubel')")
        demo.write_text(changed, "utf-8")
        assert "remarks: x\n" in changed
        assert "drills: [bloks]" in changed
        demo.write_text("score: [\npassages:\n", "utf-8")
        page.wait_for("document.querySelector('#mistakes pre b')")
        assert demo.read_text("utf-8") == "score: [\npassages:\n"
        demo.write_text(text, "utf-8")
        settled(page, 4)


def test_a_missing_goal_is_given_where_the_desk_leads(tmp_path: Path) -> None:
    """From the list of mistakes, and from the open passage."""
    source = corpus() / "schumann_clara" / "polonaise_op1n1.mxl"
    marks = Path(shutil.copy(source, tmp_path)).with_suffix(".yaml")
    marks.write_text(f"score: {source.name}\npassages:\n  - measures: 6-8\n    hand: right\n")
    with on_desk(marks, tmp_path / "out") as (address, _), open_page(address) as page:
        person = Person(page)
        person.see(1366, 1024)
        page.wait_for("document.querySelector('.mistake button')", 30)
        page.wait_for("document.querySelectorAll('.shade.passage').length > 0")
        person.choose(0)
        for place in ("#card .wrong button", "#mistakes .mistake button"):
            assert page.evaluate(f"document.querySelector('{place}').textContent") == (
                "Goal of the piece"
            )
            person.press(place)
            assert page.evaluate("document.activeElement.id") == "field-tempo-goal"
        person.type("#field-tempo-goal", "88")
        settled(page, 1)
    assert "\ntempo: {goal: 88}\n" in marks.read_text("utf-8")


def test_what_the_tool_has_to_say_of_a_piece_is_told(at_score: Person) -> None:
    """As ``check`` does; here a mark that no ladder has."""
    person, page = at_score, at_score.page
    person.draw(("46", 1), ("48", 1))
    settled(page, 1)
    person.type("#field-passages-0-tempo-reached", "20")
    settled(page, 1)
    person.choose(None)
    said = page.evaluate("document.querySelector('#card ul').textContent")
    assert said.startswith("no mark is reached: 20 is below the first")


def test_two_pages_follow_each_other_and_an_editor(demo: Path, tmp_path: Path) -> None:
    with (
        on_desk(demo, tmp_path / "out") as (address, _),
        open_page(address) as one,
        open_page(address) as other,
    ):
        settled(one, 4)
        settled(other, 4)
        theirs = demo.read_text("utf-8").replace("teacher: Tobias Quern", "teacher: Anna Lenz")
        demo.write_text(theirs, "utf-8")
        teacher = "document.querySelector('#field-teacher')?.value"
        one.wait_for(f"{teacher} === 'Anna Lenz'")
        other.wait_for(f"{teacher} === 'Anna Lenz'")
        Person(one).type("#field-teacher", "Anna Lenz and Tobias Quern")
        other.wait_for(f"{teacher}.includes('Tobias')")
        assert demo.read_text("utf-8") != theirs


def test_what_is_being_typed_stays_when_the_marks_change_elsewhere(
    demo: Path, tmp_path: Path
) -> None:
    """And nothing is saved of it before it is left."""
    with on_desk(demo, tmp_path / "out") as (address, _), open_page(address) as page:
        person = Person(page)
        person.see(1366, 1024)
        settled(page, 4)
        person.choose(0)
        person.press("#field-passages-0-remarks")
        page.evaluate("document.activeElement.select()")
        page.send("Input.insertText", text="half ty")
        theirs = demo.read_text("utf-8").replace("Every thumb falls", "Each thumb falls")
        demo.write_text(theirs, "utf-8")
        page.wait_for(
            "document.querySelector('#field-passages-0-trouble').value.startsWith('Each')"
        )
        page.send("Input.insertText", text="ped")
        settled(page, 4)
        assert demo.read_text("utf-8") == theirs
        page.evaluate("document.activeElement.blur()")
        settled(page, 4)
    assert "    remarks: half typed\n" in demo.read_text("utf-8")


def hands_of(page: Page, measure: str) -> list[list[object]]:
    """The notes of a measure as the page knows them: how high they stand, and their hands."""
    found = page.evaluate(
        f"""(async () => {{
            const {{ beats, known, systemOf }} = await import("./score.js");
            const here = beats().filter(([name]) => name === "{measure}");
            const system = known(systemOf(beats().indexOf(here[0])));
            const [from, to] = [here[0]?.[4], here.at(-1)?.[4] + 1];
            return (system?.notes ?? []).filter(([,,,, time]) => time >= from && time < to)
                .sort((one, other) => one[1] - other[1]).map((note) => [note[1], note[5]]);
        }})()"""
    )
    assert isinstance(found, list)
    return found


def test_notes_are_in_the_hands_that_the_marks_give_them_to(demo: Path, tmp_path: Path) -> None:
    """At opening, and again when the marks say otherwise."""
    text = demo.read_text("utf-8")
    demo.write_text(text + '\nhands: {"2": {upper: left}}\n', "utf-8")
    with on_desk(demo, tmp_path / "out") as (address, _), open_page(address) as page:
        Person(page).see(1366, 1024)
        for hand in ("left", "right"):
            settled(page, 4)
            end = time.monotonic() + 60
            while not (found := hands_of(page, "2")) or found[0][1] != hand:
                assert time.monotonic() < end, found
                time.sleep(0.05)
            demo.write_text(text, "utf-8")


def test_what_another_file_gives_is_shown_and_what_is_changed_is_ones_own(
    demo: Path, tmp_path: Path
) -> None:
    """Marks of one line: all passages are the base's, until one is changed."""
    base = demo.read_bytes()
    own = demo.with_name("ann.yaml")
    own.write_text("from: lantern-rondo.yaml\n", "utf-8")
    with on_desk(own, tmp_path / "out") as (address, _), open_page(address) as page:
        person = Person(page)
        person.see(1366, 1024)
        settled(page, 4)
        person.choose(0)
        shown = page.evaluate(
            """["measures", "trouble", "tempo-start"].map((name) =>
                document.querySelector(`#field-passages-0-${name}`).placeholder.slice(0, 11))"""
        )
        assert shown == ["46.1-48.1", "Every thumb", "48"]
        assert page.evaluate(
            "document.querySelector('[name=field-passages-0-hand]:checked').value === 'right'"
            " && document.querySelector('#drill-rhythms').checked"
        )
        person.type("#field-passages-0-remarks", "Sing it first.")
        settled(page, 4)
        person.press("#finger-choice button")
        person.key("3")
        person.key("Escape")
        settled(page, 4)
    text = own.read_text("utf-8")
    assert text.startswith("from: lantern-rondo.yaml\npassages:\n  - id: run-to-the-lantern\n")
    assert "    remarks: Sing it first.\n" in text
    assert '"46.1": "3 1 2 3 1 3 1"' in text  # the base's, and one of her own
    assert text.count("- id:") == 4
    assert demo.read_bytes() == base


def test_a_drill_is_heard_at_a_mark_of_its_ladder(demo: Path, tmp_path: Path) -> None:
    with on_desk(demo, tmp_path / "out") as (address, _), open_page(address) as page:
        settled(page, 4)
        marks = "[...document.querySelectorAll('#hear select')[1].options].map((o) => o.value)"
        assert "60" in page.evaluate(marks)
        Person(page).choose(1)
        assert page.evaluate(marks)[0] == "48"
        page.evaluate("document.querySelectorAll('#hear select')[1].value = '72'")
        Person(page).type("#field-passages-1-tempo-start", "56")
        settled(page, 4)
        assert page.evaluate(marks)[0] == "56"  # another ladder, the chosen mark still in it
        assert page.evaluate("document.querySelectorAll('#hear select')[1].value") == "72"
        Person(page).press("#hear button")
        page.wait_for("document.querySelector('#hear button').textContent === 'Stop'")
        Person(page).press("#hear button")
        page.wait_for("document.querySelector('#hear button').textContent === 'Play'")


def test_from_change_to_sight(demo: Path, tmp_path: Path) -> None:
    """At the median of ten; the figures are kept by ``python -m tests.watch.sight``."""
    with on_desk(demo, tmp_path / "out") as (address, _), open_page(address) as page:
        settled(page, 4)
        script = """(async () => {
            const { parts, listen } = await import("./store.js");
            const { change } = await import("./talk.js");
            const times = [];
            for (let turn = 0; turn < 10; turn += 1) {
                const start = performance.now();
                const seen = new Promise((go) => listen(["drills"], go));
                await change([["passages", 1, "tempo", "start"], turn % 2 ? "48" : "50"]);
                await seen;
                await new Promise((go) => requestAnimationFrame(() => requestAnimationFrame(go)));
                times.push((performance.now() - start) / 1000);
            }
            return times;
        })()"""
        times = page.evaluate(script)
        assert statistics.median(times) < 1.5, times
