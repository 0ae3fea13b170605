"""The page of the output folder: what lies there, drill by drill in the booklet's order.

Enters: what a build makes, and the places of the drills. Leaves: ``index.html``, as bytes. The
student's name and private remarks do not stand on it: the folder may be handed on.
"""

from collections.abc import Iterator, Mapping, Sequence
from html import escape
from urllib.parse import quote

from engrave.booklet import Place
from engrave.music.drill import Drill
from engrave.passage.model import Passage
from engrave.pipeline.checking import Checked
from engrave.pipeline.manifest import DrillFiles
from engrave.words import say_drill, say_measures, words

NAME = "index.html"
_CSS = """
:root { color-scheme: light dark }
body { font: 1rem/1.5 Georgia, serif; max-width: 46rem; margin: 2rem auto; padding: 0 1rem }
h2 { font-size: 1.15rem; margin: 1.8rem 0 .3rem }
ul { padding-left: 1.4rem; margin: .3rem 0 }
.drills { padding: 0; list-style: none }
a { margin-right: .6rem }
"""


def overview(
    checked: Checked,
    name: str,
    language: str,
    files: Mapping[str, bytes],
    drills: Mapping[str, DrillFiles],
    places: Mapping[str, Mapping[str, Sequence[Place]]],
) -> bytes:
    """The page; ``name`` is that of the booklets, ``places`` are by edition and drill."""
    said = words(language)["overview"]
    title = escape(checked.marks.piece.title or checked.score.title or name)
    booklets = [each for each in files if each.startswith(f"{name}-") and "/" not in each]
    lines = [
        "<!doctype html>",
        f'<html lang="{language}"><head><meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{title}</title><style>{_CSS}</style></head><body>",
        f"<h1>{title}</h1>",
        f"<h2>{said['booklets']}</h2>",
        "<ul>",
        *(f"<li>{_link(each, each)}</li>" for each in booklets),
        "</ul>",
    ]
    edition = next(iter(places), "")
    pdf = f"{name}-{edition}.pdf"
    for drilled in checked.passages:
        number = drilled.passage.number
        lines += _passage(drilled.passage, language, files)
        lines.append('<ul class="drills">')
        for index, drill in enumerate(drilled.drills):
            spots = places.get(edition, {}).get(drill.id, ())
            page = (f"{pdf}#page={spots[0].page}", spots[0].page) if spots else None
            counted = f"{number}.{index} " if index else ""
            lines.append(f"<li>{counted}{_drill(drill, drills[drill.id], language, page)}</li>")
        lines.append("</ul>")
    lines += [f"<p>{_link('manifest.json', said['manifest'])}</p>", "</body></html>", ""]
    return "\n".join(lines).encode()


def _passage(passage: Passage, language: str, files: Mapping[str, bytes]) -> Iterator[str]:
    said = words(language)["overview"]
    yield f"<h2>{passage.number}. {escape(say_measures(passage.measures, language))}</h2>"
    kinds = {"musicxml": said["notes"], "mid": said["midi"], "mp3": said["audio"]}
    links = [
        _link(file, label)
        for ending, label in kinds.items()
        if (file := f"passages/{passage.id}.{ending}") in files
    ]
    yield f"<p>{said['cut']}: {''.join(links)}</p>"


def _drill(drill: Drill, files: DrillFiles, language: str, page: tuple[str, int] | None) -> str:
    said, hands = words(language)["overview"], words(language)["hand"]
    name = say_drill(drill.family, drill.called, language)
    links = [_link(page[0], f"{said['page']} {page[1]}")] if page else []
    links += [_link(each, said["picture"]) for each in files.svg]
    links.append(_link(files.musicxml, said["notes"]))
    links += [_link(files.midi, said["midi"])] if files.midi else []
    links += [_link(files.audio, said["audio"])] if files.audio else []
    hand = str(hands[drill.hand])
    named = name if name.endswith(f": {hand}") else f"{name}, {hand}"
    return f"{escape(named)}<br>{''.join(links)}"


def _link(target: str, label: str) -> str:
    return f'<a href="{quote(target, safe="/#=")}">{escape(label)}</a>'
