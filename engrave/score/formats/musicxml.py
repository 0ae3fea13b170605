"""MusicXML becomes raw bars, by way of music21's parser.

Enters: the root of a MusicXML tree, and the part that was asked for. Leaves: a ``RawScore``. Knows
nothing of sheets and hands.
"""

import re
from dataclasses import replace
from typing import Any
from xml.etree.ElementTree import Element

from engrave.score.formats.library import load_music21_for_xml
from engrave.score.formats.limits import MOST_NOTES, refuse_endless
from engrave.score.formats.listening import parser_class
from engrave.score.formats.parts import (
    MOST_STAVES,
    PartEntry,
    choose_part,
    names_keyboard,
    staves_of,
)
from engrave.score.formats.raw import RawPart, RawScore, merged
from engrave.score.formats.tempos import LONGEST, headers, tempos_elsewhere
from engrave.score.titles import on_one_line, piece_in_work

_NUMBER = re.compile(r"\s*\d{1,9}(\.\d*)?\s*")
_NO_BYLINE = re.compile(
    r"\d|\b(arr|arranged|arrangement|words|lyrics|text|edited|ed|transcri\w+|piano)\b",
    re.IGNORECASE,
)
"""What at the right end of a page's head names no composer, or more than one person."""
_SYSTEM_WIDE = {"MetronomeMark", "TempoText", "RehearsalMark", "Segno", "Coda", "RepeatExpression"}


def read_music_xml(root: Element, asked: str | None, file: str) -> RawScore:
    """The keyboard part of a ``score-partwise`` tree; marks of tempo come from the top part too."""
    load_music21_for_xml()
    from music21.musicxml.xmlToM21 import MusicXMLImporter

    name_parts(root)
    importer = MusicXMLImporter()
    metadata = importer.xmlMetadata(root)  # notes as well whether Finale's forwards are rests
    listing = {entry.get("id"): entry for entry in root.iterfind("part-list/score-part")}
    elements = root.findall("part")
    braces = _braces(root)
    entries = [_entry(index, part, listing, braces) for index, part in enumerate(elements)]
    sounding = [e for e in entries if elements[e.index].find("measure/note") is not None]
    chosen = choose_part(sounding, asked, file)
    notes = sum(1 for entry in chosen for _ in elements[entry.index].iterfind("measure/note"))
    refuse_endless(notes, MOST_NOTES, file)
    part = merged([_part(importer, elements[entry.index]) for entry in chosen])
    if chosen[0].index > 0:
        _add_system_signs(part, _part(importer, elements[0]))
    return RawScore(
        part=part,
        name=chosen[0].name,
        names=tuple(entry.name for entry in sounding),
        title=piece_in_work(metadata.title or "", metadata.movementName or "") or _headline(root),
        composer=metadata.composer or _byline(root),
        staves=staves_of(chosen, entries),
        tempos=tempos_elsewhere(elements, [entry.index for entry in chosen]),
        headers=headers(root),
    )


def _headline(root: Element) -> str:
    """The title as it only stands on the first page: what is said to be one, or else the words in
    the middle that are larger than all others there. Empty where there is no such thing."""
    told = _told(root, "title")
    if told:
        return told
    sizes = sorted(
        ((size, word) for word in _credits(root) if (size := _points(word)) is not None),
        key=lambda pair: pair[0],
    )
    if not sizes or (len(sizes) > 1 and sizes[-2][0] == sizes[-1][0]):
        return ""
    word = sizes[-1][1]
    text = on_one_line(word.text or "")
    return text if word.get("justify") == "center" and len(text) <= LONGEST else ""


def _byline(root: Element) -> str:
    """The composer, in the same way: the only words at the right end of the page's head, unless
    they say that they name somebody else."""
    told = _told(root, "composer")
    right = [word for word in _credits(root) if word.get("justify") == "right"]
    if told or len(right) != 1 or right[0].get("valign") == "bottom":
        return told
    text = on_one_line(right[0].text or "")
    return "" if len(text) > LONGEST or _NO_BYLINE.search(text) else text


def _told(root: Element, kind: str) -> str:
    """The credit of a kind, where the file says which kind each is."""
    for each in root.iterfind("credit"):
        if each.findtext("credit-type") == kind:
            return on_one_line(" ".join(word.text or "" for word in each.iterfind("credit-words")))
    return ""


def _credits(root: Element) -> list[Element]:
    """The words of the first page that stand beside the music."""
    page = (each for each in root.iterfind("credit") if each.get("page", "1") == "1")
    return [word for each in page for word in each.iterfind("credit-words")]


def _points(word: Element) -> float | None:
    """The size of a credit's words, if it is a number."""
    try:
        return float(word.get("font-size", ""))
    except ValueError:
        return None


def by_parts(root: Element) -> Element:
    """A ``score-timewise`` tree, turned to the ``score-partwise`` that readers know."""
    turned = Element("score-partwise", root.attrib)
    parts: dict[str, Element] = {}
    for child in root:
        if child.tag != "measure":
            turned.append(child)
        for part in child.iterfind("part") if child.tag == "measure" else ():
            name = part.get("id", "")
            home = parts.setdefault(name, Element("part", id=name))
            measure = Element("measure", child.attrib)
            measure.extend(part)
            home.append(measure)
    turned.extend(parts.values())
    return turned


def name_parts(root: Element) -> None:
    """Parts without an id are those of the list in their order."""
    listed = root.iterfind("part-list/score-part")
    for number, (entry, part) in enumerate(zip(listed, root.iterfind("part"), strict=False), 1):
        if not (entry.get("id") and part.get("id")):
            name = entry.get("id") or part.get("id") or f"part-{number}"
            entry.set("id", name)
            part.set("id", name)


def _braces(root: Element) -> dict[str | None, int]:
    """The number of the brace that joins each part to others, from 1, by the part's id."""
    found: dict[str | None, int] = {}
    is_open: dict[str, bool] = {}
    count = 0
    for child in root.iterfind("part-list/*"):
        number = child.get("number", "1")
        if child.tag == "part-group" and child.get("type") == "start":
            is_open[number] = child.findtext("group-symbol", "").strip() == "brace"
            count += is_open[number]
        elif child.tag == "part-group":
            is_open.pop(number, None)
        elif any(is_open.values()):
            found[child.get("id")] = count
    return found


def _entry(
    index: int,
    part: Element,
    listing: dict[str | None, Element],
    braces: dict[str | None, int],
) -> PartEntry:
    listed = listing.get(part.get("id"))
    named = listed.findtext("part-name") if listed is not None else None
    name = named or part.get("id") or str(index + 1)
    said = (int(count.text or 1) for count in part.iterfind("measure/attributes/staves"))
    used = {(staff.text or "").strip() for staff in part.iterfind("measure/note/staff")}
    lowest = max(n for n in range(1, MOST_STAVES + 1) if n == 1 or str(n) in used)
    staves = max([lowest, *said])
    brace = 0 if named and not names_keyboard(named) else braces.get(part.get("id"), 0)
    return PartEntry(index, on_one_line(name), staves, brace)


def _part(importer: Any, part: Element) -> RawPart:
    from music21.musicxml.xmlToM21 import PartParser

    context = PartParser(part, parent=importer)
    raw = RawPart([])
    for index, measure in enumerate(part.iterfind("measure")):
        parser = parser_class()(measure, context, raw, index)
        try:
            parser.parse()
            context.setLastMeasureInfo(parser.stream)
        except Exception as error:
            parser.bar.unread = f"the reader stopped at {' '.join(str(error).split())[:80]}"
            _keep_divisions(context, measure)
        raw.bars.append(parser.bar)
    return raw


def _keep_divisions(context: Any, measure: Element) -> None:
    """What the lengths of all later measures are counted in, also where nothing else was read."""
    said = [_NUMBER.fullmatch(each.text or "") for each in measure.iter("divisions")]
    for number in filter(None, said):
        context.lastDivisions = float(number[0])


def _add_system_signs(part: RawPart, top: RawPart) -> None:
    """Marks that hold for all parts are printed above the top one alone."""
    for bar, above in zip(part.bars, top.bars, strict=False):
        taken = {(type(sign.element), sign.offset) for sign in bar.signs}
        bar.signs += [
            replace(sign, staff=1)
            for sign in above.signs
            if _SYSTEM_WIDE & sign.element.classSet
            and (type(sign.element), sign.offset) not in taken
        ]
