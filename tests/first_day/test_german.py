"""Messages in German: every one that the code holds has its words, and finds them."""

import ast
import re
import shutil
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from engrave.cli import main
from engrave.messages import in_language, language_for
from engrave.pipeline.batch import Task, build_one
from engrave.pipeline.styling import Job
from engrave.words import TEMPLATES
from tests.pipeline.demo import lay_out
from tests.pipeline.small_scores import write_scores

ROOT = Path(__file__).resolve().parents[2]
RAISED = (
    *("EngraveError", "Notice"),
    *("PartError", "MovementError", "FingeringError", "Changed"),
)
MISTAKES = ROOT / "tests/marks/mistakes"
NAMED = ("message", "hint", "told")
PLACE = re.compile(r"\{([a-z_]+)\}")


def texts(node: ast.AST) -> Iterator[str]:
    """What an expression can say, with a stand-in for all that is put in."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.JoinedStr):
        yield "".join(
            str(part.value) if isinstance(part, ast.Constant) else f"‹{index}›"
            for index, part in enumerate(node.values)
        )
    elif isinstance(node, ast.IfExp):
        yield from texts(node.body)
        yield from texts(node.orelse)


def said() -> Iterator[tuple[str, str]]:
    """Every message and hint that stands in the code, with its place."""
    for path in sorted((ROOT / "engrave").rglob("*.py")):
        if "desk_words" in path.name:
            continue
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            for part in parts(node):
                for text in texts(part):
                    yield f"{path.relative_to(ROOT)}:{part.lineno}", text


def parts(node: ast.AST) -> Iterator[ast.expr]:
    if isinstance(node, ast.Call):
        called = node.func.id if isinstance(node.func, ast.Name) else ""
        if called in RAISED:
            yield from node.args[:1]
            yield from node.args[2:3]
        if called == "nothing_to_drill":  # after the passage and the family: why, and a way out
            yield from node.args[2:4]
        yield from (each.value for each in node.keywords if each.arg == "hint")
    if isinstance(node, ast.Assign) and len(node.targets) == 1:
        target = node.targets[0]
        if isinstance(target, ast.Name) and target.id in NAMED:
            yield node.value
        elif isinstance(target, ast.Tuple) and isinstance(node.value, ast.Tuple):
            for name, value in zip(target.elts, node.value.elts, strict=False):
                if isinstance(name, ast.Name) and name.id in NAMED:
                    yield value


def is_sentence(text: str) -> bool:
    """Two words in a row: all else is an example to be typed."""
    return bool(re.search(r"[a-z]{2,} [a-z]{2,}", re.sub(r"‹\d+›", "", text)))


def test_every_message_has_german() -> None:
    missing = [
        f"{place}: {text}"
        for place, text in said()
        if is_sentence(text) and in_language(text, "de") == text
    ]
    assert not missing, "add these to templates/messages/de.toml:\n" + "\n".join(missing)


def test_every_value_that_is_read_has_a_german_name() -> None:
    """What a number is of, as ``whole("a step", 1, 4)`` names it, stands in its messages."""
    named = {
        node.args[0].value
        for path in (ROOT / "engrave").rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Call) and len(node.args) > 2
        if isinstance(node.func, ast.Name) and node.func.id in ("whole", "number")
        if isinstance(node.args[0], ast.Constant) and isinstance(node.args[0].value, str)
    }
    assert named >= {"a step", "the staff height"}
    missing = sorted(name for name in named if in_language(name, "de") == name)
    assert not missing, "add these to templates/messages/de.toml:\n" + "\n".join(missing)


def test_there_are_messages() -> None:
    assert len(list(said())) > 300


def test_german_puts_in_what_english_does() -> None:
    held = tomllib.loads((TEMPLATES / "messages/de.toml").read_text("utf-8"))
    for table in held.values():
        for english, german in table.items():
            assert set(PLACE.findall(german)) <= set(PLACE.findall(english)), english


@pytest.mark.parametrize(
    ("english", "german"),
    [
        ("unknown key 'mesures'", "unbekannter Schlüssel „mesures“"),
        ("did you mean 'measures'?", "war „measures“ gemeint?"),
        ("'score' is missing", "„score“ fehlt"),
        (
            "the step must be a whole number, not 'two'",
            "der Schritt muss eine ganze Zahl sein, nicht „two“",
        ),
        ("a list is wanted here, not a single value",
         "hier gehört eine Liste hin, nicht ein einzelner Wert"),
        (
            "not read: brackets and dashed lines (2), in measures 3, 5",
            "nicht gelesen: Klammern und gestrichelte Linien (2), in den Takten 3, 5",
        ),
        (
            "measures 3, 7 are shorter than the meter: kept as in the score",
            "die Takte 3, 7 sind kürzer als die Taktart: bleiben wie in der Partitur",
        ),
        ("nobody has said this in German", "nobody has said this in German"),
    ],
)  # fmt: skip
def test_german(english: str, german: str) -> None:
    assert in_language(english, "de") == german


def test_marks_choose(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LC_ALL", "de_DE.UTF-8")
    marks = tmp_path / "rondo.yaml"
    assert language_for(marks) == "de"  # not there: the machine's
    marks.write_text("score: rondo.musicxml\n")
    assert language_for(marks) == "en"  # the booklet's
    marks.write_text("score: rondo.musicxml\nlanguage: 'de'  # Nell\n")
    assert language_for(marks) == "de"
    assert language_for(marks, "en") == "en"


def test_check_tells_in_german(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    marks = tmp_path / "rondo.yaml"
    marks.write_text("language: de\npassages: [{mesures: 4}]\n")
    assert main(["check", str(marks)]) == 2
    told = capsys.readouterr().err
    assert f"{marks}:2:13: Fehler: unbekannter Schlüssel „mesures“" in told
    assert "Hinweis: war „measures“ gemeint?" in told
    assert "Fehler: „score“ fehlt" in told


LEFT_ENGLISH = re.compile(
    r"\b(the|is|are|and|or|of|on|two|missing|cannot|stands?|write|here|first|has|its|nothing|with)\b"
)
ENGLISH_OF_MUSIC = re.compile(r"\b(measures?|onsets?|beats?|fingers|keys?|wholes|16ths)\b")
TYPED = re.compile(r"\{.*\}|„[^“]*“|\"[^\"]*\"|'[^']*'|: [\w.-]+: .*")
"""What is to be typed, or was."""


@pytest.mark.parametrize("file", sorted(MISTAKES.glob("*.yaml")), ids=lambda path: path.stem)
def test_mistakes_are_told_in_german_alone(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Also where a message is put together; what is to be typed stays as it is typed."""
    main(["check", str(file), "--language", "de"])
    for line in capsys.readouterr().err.splitlines():
        said = line.partition("Fehler: ")[2] or line.partition("Hinweis: ")[2]
        assert said
        assert not LEFT_ENGLISH.search(TYPED.sub("", said)), said
        assert "linke:" not in said


def test_what_only_the_score_shows_is_told_in_german_alone(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write_scores(tmp_path)
    count = 0
    for file in sorted((ROOT / "tests/pipeline/mistakes").glob("*.yaml")):
        main(["check", str(shutil.copy(file, tmp_path)), "--language", "de"])
        for line in capsys.readouterr().err.splitlines():
            said = line.partition("Fehler: ")[2] or line.partition("Hinweis: ")[2] or line
            left = TYPED.sub("", said.replace(str(tmp_path), ""))
            assert not LEFT_ENGLISH.search(left), f"{file.name}: {said}"
            assert not ENGLISH_OF_MUSIC.search(left), f"{file.name}: {said}"
            count += 1
    assert count > 100


def test_signs_that_were_not_read_have_german_names() -> None:
    from engrave.score.building import spans
    from engrave.score.formats import listening, notations, streams

    tables = (listening._LOST, notations._LOST, streams._LOST)
    names = {name for table in tables for name in table.values()}
    names |= {f"{name} with one end only" for name in spans._NAMES.values()}
    for path in (ROOT / "engrave/score").rglob("*.py"):
        names |= set(re.findall(r'lost\["([^"]+)"\]', path.read_text("utf-8")))
    assert len(names) > 12
    assert not [name for name in sorted(names) if in_language(name, "de") == name]


def test_a_failure_of_the_tool_is_told_at_the_passage_in_german(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """In one line, with the place that was in work; of one booklet as of several."""

    def failing(*_: object, **__: object) -> None:
        raise KeyError(7)

    marks = lay_out(tmp_path)
    line = next(
        number
        for number, text in enumerate(marks.read_text("utf-8").splitlines(), 1)
        if "- id: run-to-the-lantern" in text
    )
    monkeypatch.setattr("engrave.pipeline.keeping.notate", failing)
    out = str(tmp_path / "out")
    assert main(["build", "--language", "de", "--no-cache", "--out", out, str(marks)]) == 1
    told = capsys.readouterr().err
    assert f"{marks}:{line}:9: Fehler: das Programm ist gescheitert: KeyError: 7" in told
    assert "failed" not in told
    outcome = build_one(marks, Task(tmp_path / "out", Job(language="de"), cache=None))
    assert outcome.crash
    assert outcome.crash in told


def test_what_was_practised_is_kept_in_one_word() -> None:
    """The log on paper, on the tablet and in the terminal is one thing."""
    said = "".join(path.read_text("utf-8") for path in TEMPLATES.rglob("*de.toml"))
    assert "Übetagebuch" in said
    assert "rotokoll" not in said
