"""Marks files changed by ``editing``: what was meant, and nothing else to the byte."""

import difflib
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from engrave.errors import EngraveError
from engrave.marks.editing import KeyPath, Splice, with_value, without
from engrave.marks.spans import plain, read_spans

DEMO = Path(__file__).resolve().parents[2] / "scores" / "lantern-rondo.yaml"

SMALL = """\
# Für Nell – с любовью	and a tab
score: rondo.musicxml          # beside this file

passages:
  # 1. A run.
  - id: run
    measures: 46.1-48.1        # with its landing
    hand: 'right'
    trouble: >-
      Every thumb falls
      between the beats.
    drills:
      - rhythms                # as usual
      - chain: {by: beat}
    fingering: {"46.1": "2 1 2 3"}

  # 2. Broken chords.
  - measures: 39-40
    hand: right
    tempo: {start: 48}

  - {measures: 3, hand: left}
"""


def changed_lines(old: str, new: str) -> list[str]:
    """Lines that went (``-``) or came (``+``), in order."""
    delta = difflib.ndiff(old.splitlines(), new.splitlines())
    return [line for line in delta if line[0] in "-+"]


@pytest.mark.parametrize(
    ("path", "value", "lines"),
    [
        (("passages", 0, "hand"), "left", ["-     hand: 'right'", "+     hand: 'left'"]),
        (
            ("passages", 0, "measures"),
            "46-48",
            [
                "-     measures: 46.1-48.1        # with its landing",
                "+     measures: 46-48        # with its landing",
            ],
        ),
        (("passages", 1, "trouble"), "uneven", ["+     trouble: uneven"]),
        (("passages", 1, "id"), "chords", ["-   - measures: 39-40", "+   - id: chords",
                                           "+     measures: 39-40"]),
        (
            ("passages", 0, "drills"),
            ["rhythms", {"chain": {"by": "beat"}}, "accents"],
            ["+       - accents"],
        ),
        (("passages", 0, "drills"), ["rhythms"], ["-       - chain: {by: beat}"]),
        (
            ("passages", 0, "fingering", "47.1"),
            "1 2",
            [
                '-     fingering: {"46.1": "2 1 2 3"}',
                '+     fingering: {"46.1": "2 1 2 3", "47.1": "1 2"}',
            ],
        ),
        (
            ("passages", 2, "hand"),
            "both",
            ["-   - {measures: 3, hand: left}", "+   - {measures: 3, hand: both}"],
        ),
        (("passages", 3), {"measures": "9", "hand": "both"},
         ["+ ", "+   - measures: 9", "+     hand: both"]),
        (("student", "name"), "Nell Averdine", ["+ student: {name: Nell Averdine}"]),
        (("passages", 0, "tempo", "goal"), "96", ["+     tempo: {goal: 96}"]),
        (("passages", 1, "tempo", "goal"), "96",
         ["-     tempo: {start: 48}", "+     tempo: {start: 48, goal: 96}"]),
        (("passages", 1, "remarks"), "Mind the F # here: slow",
         ['+     remarks: "Mind the F # here: slow"']),
        (("passages", 1, "measures"), "39, 40",
         ["-   - measures: 39-40", "+   - measures: 39, 40"]),
        (("passages", 2, "measures"), "3, 4",
         ["-   - {measures: 3, hand: left}", '+   - {measures: "3, 4", hand: left}']),
        (("passages", 1, "tempo"), {"start": "48", "goal": "96"},
         ["-     tempo: {start: 48}", "+     tempo: {start: 48, goal: 96}"]),
        (("passages", 1, "tempo"), "slow", ["-     tempo: {start: 48}", "+     tempo: slow"]),
        (("passages", 0, "drills", 0), {"rhythms": {"variants": ["long-short"]}},
         ["-       - rhythms                # as usual",
          "+       - rhythms: {variants: [long-short]}                # as usual"]),
        (("passages", 2, "hand"), ["left", "right"],
         ["-   - {measures: 3, hand: left}", "+   - {measures: 3, hand: [left, right]}"]),
    ],
)  # fmt: skip
@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_a_change_touches_its_own_lines(
    path: tuple[str | int, ...], value: object, lines: list[str], newline: str
) -> None:
    old = SMALL.replace("\n", newline)
    new = with_value(old, path, value)  # type: ignore[arg-type]
    assert sorted(changed_lines(old, new)) == sorted(lines)
    assert new.count("\r\n") == (new.count("\n") if newline == "\r\n" else 0)


@pytest.mark.parametrize("end", ["\n", "", "\n\n"])
def test_what_begins_at_the_end_of_a_file_stands_below_its_last_comment(end: str) -> None:
    text = f"score: a.krn\ntempo: {{goal: 96}}\n# and start: 48{end}"
    new = with_value(text, ("passages",), [{"measures": "1-2"}])
    assert new == text.rstrip("\n") + (end or "\n") + "passages:\n  - measures: 1-2" + (
        "\n" if end else ""
    )


def test_a_passage_goes_with_the_comment_above_it() -> None:
    new = without(SMALL, ("passages", 1))
    assert changed_lines(SMALL, new) == [
        "-   # 2. Broken chords.",
        "-   - measures: 39-40",
        "-     hand: right",
        "-     tempo: {start: 48}",
        "- ",
    ]


def test_the_last_entry_of_a_table_takes_the_table_along() -> None:
    new = without(SMALL, ("passages", 1, "tempo", "start"))
    assert changed_lines(SMALL, new) == ["-     tempo: {start: 48}"]


def test_a_file_without_passages_left_says_so() -> None:
    assert without("score: a.krn\npassages:  # now\n  - measures: 3\n", ("passages", 0)) == (
        "score: a.krn\npassages: []  # now\n"
    )


def test_an_empty_file_gets_its_first_entries() -> None:
    assert with_value("# mine\n", ("score",), "a.krn") == "# mine\nscore: a.krn\n"


def test_long_text_is_folded_and_lines_are_kept() -> None:
    long = " ".join(["the wrist as level as a tray of glasses"] * 4)
    new = with_value(SMALL, ("passages", 1, "remarks"), long)
    assert "    remarks: >-\n      the wrist" in new
    assert max(map(len, new.splitlines())) <= 100
    lines = with_value(SMALL, ("passages", 1, "remarks"), "one\n\ntwo")
    assert "    remarks: |-\n      one\n\n      two\n" in lines


@pytest.mark.parametrize("text", ["a: &x 1\nb: *x\n", "a: !!int 3\n"])
def test_anchors_and_tags_are_refused(text: str) -> None:
    with pytest.raises(EngraveError):
        with_value(text, ("b",), "2")


@pytest.mark.parametrize(
    ("text", "path"),
    [
        pytest.param("passages:\n  - hand: left\n", ("passages", "hand"), id="a key in a list"),
        pytest.param("passages: []\n", ("passages", "hand"), id="a key in an empty list"),
        pytest.param("tempo:\n  goal: 90\n", ("tempo", 0), id="an item in a table"),
        pytest.param("tempo: {goal: 90}\n", ("tempo", 1), id="an item in braces"),
    ],
)
def test_a_place_that_cannot_be_is_refused(text: str, path: KeyPath) -> None:
    with pytest.raises(EngraveError, match="no such place"):
        with_value(text, path, "both")


def test_a_file_changed_meanwhile_is_refused() -> None:
    splice = Splice.between("hand: left", "hand: right")
    with pytest.raises(EngraveError, match="meanwhile"):
        splice.of("hand: both")


# Generated files ---------------------------------------------------------------------------------

WORDS = st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "S", "Zs")), max_size=12)
ODD = ["null", "~", "- x", "a: b", "x #y", "'", '"', "1e3", "?"]
PROSE = st.one_of(WORDS, st.sampled_from(ODD))
KEYS = st.sampled_from(["hand", "trouble", "remarks", "private", "status", "tempo", "fingering"])
STYLES = ["single", "double", "folded", "literal", "flow", "block"]
COMMENTS = st.sampled_from(["", "  # eins", "  # with\ta tab", "   #кот"])


def quoted(text: str, style: str) -> str:
    if style == "single" and "\n" not in text:
        return "'" + text.replace("'", "''") + "'"
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


@st.composite
def files(draw: st.DrawFn) -> str:
    """A marks file in all the ways in which people write one."""
    lines = ["# top", "score: a.musicxml" + draw(COMMENTS)]
    if draw(st.booleans()):
        lines += ["piece: {title: Rondo, composer: 'O. W.'}", ""]
    lines += ["passages:"]
    pad = draw(st.sampled_from(["", "  ", "    "]))
    for number in range(draw(st.integers(1, 3))):
        if draw(st.booleans()):
            lines += ["", f"{pad}# number {number}"]
        if draw(st.integers(0, 3)) == 0:
            lines += [f"{pad}- {{measures: {number + 1}, hand: left}}"]
            continue
        lines += [f"{pad}- measures: {number + 1}{draw(COMMENTS)}"]
        for key in draw(st.lists(KEYS, unique=True, max_size=4)):
            style = draw(
                st.sampled_from(["single", "double", "folded", "literal", "flow", "block"])
            )
            text = draw(PROSE)
            if style == "flow":
                lines += [f'{pad}  {key}: {{"1.1": {quoted(text, "double")}, b: [x, y]}}']
            elif style == "block":
                lines += [f"{pad}  {key}:{draw(COMMENTS)}", f"{pad}    - x{draw(COMMENTS)}"]
                lines += [f"{pad}    - {{y: {quoted(text, 'single')}}}"]
            elif style in ("folded", "literal"):
                sign = ">-" if style == "folded" else "|"
                lines += [f"{pad}  {key}: {sign}", f"{pad}    one line", f"{pad}    and two"]
                lines += draw(st.sampled_from([[], [""]]))
            else:
                lines += [f"{pad}  {key}: {quoted(text, style)}{draw(COMMENTS)}"]
    newline = draw(st.sampled_from(["\n", "\r\n"]))
    return newline.join(lines) + draw(st.sampled_from(["", newline, newline * 2]))


VALUES = st.one_of(
    PROSE,
    st.lists(st.sampled_from(["x", "rhythms", "chain"]), min_size=1, max_size=3, unique=True),
    st.dictionaries(st.sampled_from(["1.1", "2.1", "b"]), PROSE, min_size=1, max_size=2),
)


@settings(max_examples=150, deadline=None)
@given(files(), st.integers(0, 2), KEYS, VALUES)
def test_every_change_leaves_the_rest_and_can_be_undone(
    text: str, number: int, key: str, value: object
) -> None:
    before = plain(read_spans(text, "marks"))
    assert isinstance(before, dict)
    count = len(before["passages"])
    assume(number < count)
    new = with_value(text, ("passages", number, key), value)  # type: ignore[arg-type]
    after = plain(read_spans(new, "marks"))
    assert isinstance(after, dict)
    assert after["passages"][number][key] == value
    comments = [line.partition("#")[2] for line in text.splitlines() if line.startswith("#")]
    assert [line.partition("#")[2] for line in new.splitlines() if line.startswith("#")] == comments
    splice = Splice.between(text, new)
    assert splice.of(text) == new
    assert splice.undone.of(new) == text


@settings(max_examples=150, deadline=None)
@given(files(), st.integers(0, 2))
def test_a_passage_put_in_and_taken_out_leaves_the_same_bytes(text: str, number: int) -> None:
    before = plain(read_spans(text, "marks"))
    assert isinstance(before, dict)
    count = len(before["passages"])
    more = with_value(text, ("passages", count), {"measures": "9", "hand": "both"})
    again = without(more, ("passages", count))
    assert again.rstrip() == text.rstrip()
    if number < count:
        fewer = without(text, ("passages", number))
        left = plain(read_spans(fewer, "marks"))
        assert isinstance(left, dict)
        assert len(left["passages"]) == count - 1


def test_the_demo_changed_everywhere_stays_what_it_was_elsewhere() -> None:
    text = DEMO.read_text("utf-8")
    tree = plain(read_spans(text, "demo"))
    assert isinstance(tree, dict)
    for number in range(len(tree["passages"])):
        new = with_value(text, ("passages", number, "status"), "warm-up")
        lines = changed_lines(text, new)
        assert len(lines) <= 2
        assert all("status" in line for line in lines)


@pytest.mark.parametrize(
    ("first", "apart"),
    [("  - measures: 3\n    hand: left\n    id: a\n", "\n"),
     ("  - measures: 3\n    hand: left\n", ""), ("  - {measures: 3, hand: left}\n", ""),
     ("  - measures: 3\n", "")],
)  # fmt: skip
def test_a_second_passage_stands_apart_from_one_of_three_lines(first: str, apart: str) -> None:
    text = f"passages:\n{first}"
    added = with_value(text, ("passages", 1), {"measures": "9"})
    assert added == f"{text}{apart}  - measures: 9\n"


def test_a_passage_stands_apart_as_those_before_it_do() -> None:
    for apart in ("", "\n"):
        text = f"passages:\n  - measures: 3\n{apart}  - measures: 5\n    hand: left\n"
        added = with_value(text, ("passages", 2), {"measures": "9"})
        assert added == f"{text}{apart}  - measures: 9\n"


def test_a_key_beside_the_last_one_can_go() -> None:
    assert without("passages:\n  - measures: 3\n    hand: left\n", ("passages", 0, "hand")) == (
        "passages:\n  - measures: 3\n"
    )


ITEMS = """\
passages:
  -
  - # a run, thumb-crossings
    # in the right hand
    measures: 3
    # but for its landing
  # Below:
  - -5
    # nobody knows why
# Next week: more.
"""


@pytest.mark.parametrize(
    ("index", "lines"),
    [
        (0, ["-   -", "+   - x"]),
        (1, ["-     measures: 3", "+     x"]),
        (2, ["-   - -5", "+   - x"]),
        (3, ["+   - x"]),
    ],
)  # fmt: skip
def test_an_item_is_found_behind_its_dash(index: int, lines: list[str]) -> None:
    new = with_value(ITEMS, ("passages", index), "x")
    assert changed_lines(ITEMS, new) == lines


@pytest.mark.parametrize(
    ("index", "gone"),
    [(0, [1]), (1, [2, 3, 4, 5]), (2, [6, 7, 8])],
)
def test_an_item_goes_with_what_is_said_of_it(index: int, gone: list[int]) -> None:
    lines = ITEMS.splitlines(keepends=True)
    left = [line for number, line in enumerate(lines) if number not in gone]
    assert without(ITEMS, ("passages", index)) == "".join(left)


@pytest.mark.parametrize("between", ["", "    # the left one\n"])
def test_the_key_beside_the_dash_can_go(between: str) -> None:
    text = f"passages:\n  - measures: 3\n{between}    hand: left\n    id: a\n"
    fewer = without(text, ("passages", 0, "measures"))
    first = f"  - {between}    hand" if between else "  - hand"
    assert fewer == f"passages:\n{first}: left\n    id: a\n"


def test_a_line_ends_at_its_hundredth_character() -> None:
    text = "passages:\n  - trouble: late\n"
    words = "x " * 42 + "xxx"
    as_long = with_value(text, ("passages", 0, "trouble"), words)
    assert as_long.splitlines()[1] == f"  - trouble: {words}"
    assert len(as_long.splitlines()[1]) == 100
    longer = with_value(text, ("passages", 0, "trouble"), words + "x")
    assert longer.splitlines()[1] == "  - trouble: >-"


def test_keys_that_go_from_a_table_go_in_the_order_of_the_file() -> None:
    text = "tempo:\n  goal: 96    # as fast as that\n  start: 48\n  step: 2\n  beat: half\n"
    assert with_value(text, ("tempo",), {"start": "48"}) == "tempo:\n  start: 48\n"


@pytest.mark.parametrize(
    ("path", "left"),
    [
        (("drills", 0), "drills: [accents,  chain]\ntempo: {start: 48, goal: 96, step: 2}\n"),
        (("drills", 1), "drills: [rhythms,  chain]\ntempo: {start: 48, goal: 96, step: 2}\n"),
        (("drills", 2), "drills: [rhythms, accents]\ntempo: {start: 48, goal: 96, step: 2}\n"),
        (("tempo", "start"), "drills: [rhythms, accents,  chain]\ntempo: {goal: 96, step: 2}\n"),
        (("tempo", "goal"), "drills: [rhythms, accents,  chain]\ntempo: {start: 48, step: 2}\n"),
        (("tempo", "step"), "drills: [rhythms, accents,  chain]\ntempo: {start: 48, goal: 96}\n"),
    ],
)
def test_what_stands_in_brackets_goes_with_one_comma(path: KeyPath, left: str) -> None:
    text = "drills: [rhythms, accents,  chain]\ntempo: {start: 48, goal: 96, step: 2}\n"
    assert without(text, path) == left


@pytest.mark.parametrize(
    ("items", "after"),
    [
        ("leaps rhythms chain", "[leaps, rhythms, chain,]"),
        ("rhythms leaps chain", "[rhythms, leaps, chain,]"),
        ("rhythms chain leaps", "[rhythms, chain, leaps]"),
    ],
)
def test_what_comes_into_brackets_stands_in_its_order(items: str, after: str) -> None:
    assert with_value("drills: [rhythms, chain,]\n", ("drills",), items.split()) == (
        f"drills: {after}\n"
    )


LIST = """\
drills:
  - rhythms   # in four
  - accents   # quietly
  - chain     # by beats
  - blocks    # then apart
"""


@pytest.mark.parametrize(
    ("items", "lines"),
    [
        ("rhythms leaps chain blocks", ["-   - accents   # quietly", "+   - leaps   # quietly"]),
        ("rhythms chain blocks", ["-   - accents   # quietly"]),
        ("rhythms blocks", ["-   - accents   # quietly", "-   - chain     # by beats"]),
        ("rhythms accents voices chain blocks", ["+   - voices"]),
        ("voices rhythms accents chain blocks", ["+   - voices"]),
        (
            "leaps chain blocks",
            ["-   - rhythms   # in four", "+   - leaps   # in four", "-   - accents   # quietly"],
        ),
        (
            "rhythms leaps voices staccato blocks",
            [
                *("-   - accents   # quietly", "+   - leaps   # quietly"),
                *("-   - chain     # by beats", "+   - voices     # by beats", "+   - staccato"),
            ],
        ),
        (
            "leaps accents voices blocks",
            [
                *("-   - rhythms   # in four", "+   - leaps   # in four"),
                *("-   - chain     # by beats", "+   - voices     # by beats"),
            ],
        ),
    ],
)
def test_of_a_list_only_what_differs_is_touched(items: str, lines: list[str]) -> None:
    new = with_value(LIST, ("drills",), items.split())
    assert plain(read_spans(new, "marks")) == {"drills": items.split()}
    assert sorted(changed_lines(LIST, new)) == sorted(lines)


def test_what_reads_like_yaml_is_quoted_where_it_stands_in_brackets_alone() -> None:
    """YAML 1.2, 7.3.3: a plain text may hold brackets, but in brackets it ends at them."""
    in_lines = with_value('hands:\n  "12": {upper: left}\n', ("hands", "a]b"), {"upper": "left"})
    in_braces = with_value('hands: {"12": {upper: left}}\n', ("hands", "a]b"), {"upper": "left"})
    assert plain(read_spans(in_lines, "x")) == plain(read_spans(in_braces, "x"))
    assert '"a]b": {upper: left}' in in_braces
