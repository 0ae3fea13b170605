"""The page of the output folder leads to everything in it, in the booklet's order."""

import json
import re
from collections.abc import Callable
from html import unescape
from urllib.parse import unquote

from tests.works import DEMO, Built, Work


def test_the_overview_leads_to_every_file(built: Callable[[Work], Built]) -> None:
    folder = built(DEMO).folder
    page = (folder / "index.html").read_text("utf-8")
    links = [unquote(unescape(each)) for each in re.findall(r'href="([^"]+)"', page)]
    files = [each.partition("#")[0] for each in links]
    there = {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()}
    assert set(files) == there - {"index.html"}


def test_the_overview_is_in_order_and_says_no_names(built: Callable[[Work], Built]) -> None:
    folder = built(DEMO).folder
    page = (folder / "index.html").read_text("utf-8")
    manifest = json.loads((folder / "manifest.json").read_text("utf-8"))
    wanted = [each["files"]["musicxml"] for each in manifest["drills"]]
    assert re.findall(r'href="(drills/[^"]+\.musicxml)"', page) == wanted
    assert "Averdine" not in page
    assert "<h2>1. Measures 46–48 (beat 1)</h2>" in page
    assert re.findall(r"<li>(.*?)<br>", page)[:3] == [
        "As written, both hands", "1.1 Rhythms: long–short, right hand",
        "1.2 Rhythms: short–long, right hand",
    ]  # fmt: skip
    assert "index.html" in {each["path"] for each in manifest["outputs"]}
