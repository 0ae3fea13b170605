"""How the modules of the screen edition become one script, and what words they ask for."""

import re
from pathlib import Path

import pytest

from engrave.booklet.screen_script import policy, script
from engrave.log.model import CLEAN_TIMES
from engrave.log.reading import LONGEST_LINE, MOST_BYTES
from engrave.sound.clicks import SLOW
from engrave.words import LANGUAGES, words
from tests.screen.opened import MODULES


def laid(folder: Path, **modules: str) -> Path:
    for name, text in modules.items():
        (folder / f"{name}.js").write_text(text, "utf-8")
    return folder


def test_modules_come_after_what_they_import_each_once(tmp_path: Path) -> None:
    folder = laid(
        tmp_path,
        main='import { one } from "./a.js";\nimport { two } from "./b.js";\none(two);\n',
        a='import { two } from "./b.js";\nexport function one() { return two; }\n',
        b="// a word\nexport const two = 2;\nexport class Three {}\n",
    )
    made = script(folder)
    assert made.count("const two = 2;") == 1
    assert made.index("$b = ") < made.index("$a = ") < made.index("$main = ")
    assert "return {two, Three};" in made
    assert "a word" not in made


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('import { x } from "./main.js";\n', "import each other"),
        ('import x from "./b.js";\n', "plain forms"),
        ("export default 3;\n", "plain forms"),
        ("export let changing = 3;\n", "plain forms"),
    ],
)
def test_what_cannot_be_joined_is_refused(tmp_path: Path, text: str, told: str) -> None:
    folder = laid(tmp_path, main='import { a } from "./a.js";\n', a=text, b="")
    with pytest.raises(RuntimeError, match=told):
        script(folder)


def test_every_module_is_used_and_short() -> None:
    made = script(MODULES)
    for path in MODULES.glob("*.js"):
        assert f"${path.stem} = " in made
        assert len(path.read_text("utf-8").splitlines()) < 260, path.name


def test_scripts_and_modules_load_nothing() -> None:
    made = script(MODULES)
    assert not re.search(r"\b(fetch|XMLHttpRequest|WebSocket|EventSource|sendBeacon|eval)\b", made)
    assert "http" not in made.replace("http://www.w3.org/2000/svg", "")


@pytest.mark.parametrize(
    ("module", "name", "value"),
    [
        ("pace.js", "CLEAN", CLEAN_TIMES),
        ("takes.js", "SLOW", SLOW),
        ("log.js", "LONGEST_LINE", LONGEST_LINE),
        ("record.js", "LARGEST", MOST_BYTES),
    ],
)
def test_the_page_counts_as_the_tool_does(module: str, name: str, value: int) -> None:
    text = (MODULES / module).read_text("utf-8")
    (found,) = re.findall(rf"const {name} = ([\d.e]+);", text)
    assert float(found) == value


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_word_that_the_script_asks_for_is_there(language: str) -> None:
    made = script(MODULES)
    says = words(language)["screen"]["says"]
    asked = set(re.findall(r"\bsays\.(\w+)", made))
    asked |= {
        name.strip()
        for group in re.findall(r"const \{ ([\w, ]+) \} = this\.data\.says", made)
        for name in group.split(",")
    }
    assert len(asked) > 15
    assert asked <= set(says)
    assert set(says) <= asked | {"came"}
    assert set(says["came"]) == {"ticked", "back", "again", "once"}


def test_the_policy_names_one_script_and_one_style_by_what_they_hold() -> None:
    told = policy("let a;", "p {}")
    assert told != policy("let b;", "p {}")
    assert told.startswith("default-src 'none'; script-src 'sha256-")
    assert "unsafe" not in told
