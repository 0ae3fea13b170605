"""music21's MusicXML measure parser, kept from forgetting what is printed where.

Enters: a ``measure`` element. Leaves: a ``RawBar``, and edges and losses in a ``RawPart``. Knows
one measure of one part, and neither sheets nor hands.

music21 splits a part into staves and in doing so cuts voices that cross between them, merges a
chord's fingerings, ties wedges to notes and drops signs that it has no class for. Its parser knows
all of this while it reads; the methods below listen there and keep it. Pitches, durations, tuplets,
grace notes, positions and attributes are music21's.
"""

import re
from functools import cache
from typing import TYPE_CHECKING, Any
from xml.etree.ElementTree import Element

from engrave.music.units import quarters
from engrave.score.formats.notations import read_notations
from engrave.score.formats.raw import Edge, NoteSigns, RawBar, RawEnding, RawItem, RawPart, RawSign

if TYPE_CHECKING:
    from music21.musicxml.xmlToM21 import MeasureParser as _Parser
else:  # music21 loads on first use: ``parser_class`` joins the two
    _Parser = object

_SPANS = {
    ("wedge", "crescendo"): "crescendo",
    ("wedge", "diminuendo"): "diminuendo",
    ("pedal", "start"): "pedal",
    ("octave-shift", "down"): "octave-up",
    ("octave-shift", "up"): "octave-down",
}
_CLOSING = ("stop", "discontinue")
_NUMBER = re.compile(r"\d+(\.\d+)?")
_LOST = {
    "bracket": "brackets and dashed lines",
    "dashes": "brackets and dashed lines",
    "principal-voice": "principal voice signs",
    "harp-pedals": "harp pedals",
}


@cache
def parser_class() -> Any:
    """music21's measure parser with ``Listening`` before it."""
    from music21.musicxml.xmlToM21 import MeasureParser

    return type("ListeningMeasureParser", (Listening, MeasureParser), {})


class Listening(_Parser):  # type: ignore[misc]
    """One measure, read by music21; what is printed in it is left in ``bar`` and ``part``."""

    def __init__(self, measure: Element, context: Any, part: RawPart, index: int) -> None:
        super().__init__(measure, context)
        self.part = part
        self.index = index
        self.bar = RawBar(measure.get("number", ""), measure.get("implicit") == "yes")
        self._printed: dict[int, NoteSigns] = {}
        self._staves: dict[int, int] = {}
        self._staff = 1
        self._voice = "1"
        self._slurs: list[Edge] = []

    # Where music21 would put things into streams, they go into the bar.

    def updateVoiceInformation(self) -> None:  # noqa: N802
        """No streams of voices: every item keeps the name of its voice."""

    def addToStaffReference(self, mxObjectOrNumber: Any, m21Object: Any) -> None:  # noqa: N802, N803
        """Remember the staff of the note that is inserted next."""
        self._staff = self.getStaffNumber(mxObjectOrNumber) or 1

    def insertCoreAndRef(self, offset: Any, staffSource: Any, m21Object: Any) -> None:  # noqa: N802, N803
        """Keep a clef, key, meter, dynamic, word …"""
        staff = self.getStaffNumber(staffSource)
        self.bar.signs.append(RawSign(m21Object, quarters(offset), staff))

    def insertInMeasureOrVoice(self, mxElement: Element, el: Any) -> None:  # noqa: N802, N803
        """Keep a note, chord or rest, and what is printed at each of its tones."""
        self._voice = (mxElement.findtext("voice") or self._voice).strip()
        tones = el.notes if el.isChord else (el,)
        printed = tuple(self._printed.get(id(tone), NoteSigns()) for tone in tones)
        offset = quarters(self.offsetMeasureNote)
        places = tuple(self._staves.get(id(tone), self._staff) for tone in tones)
        crossing = places if len(set(places)) > 1 else ()
        item = RawItem(el, offset, self._staff, self._voice, printed, crossing)
        self.bar.items.append(item)
        for edge in sorted(self._slurs, key=lambda edge: edge.opens):
            edge.offset, edge.staff, edge.item = offset, self._staff, item
            self.part.edges.append(edge)
        self._slurs.clear()

    def xmlForward(self, mxObj: Element) -> None:  # noqa: N802, N803
        """Move on, and remember how far."""
        super().xmlForward(mxObj)
        self.bar.reach = max(self.bar.reach, quarters(self.offsetMeasureNote))

    # Where music21 drops or merges signs, they are read from the element.

    def xmlToSimpleNote(self, mxNote: Element, freeSpanners: bool = True) -> Any:  # noqa: N802, N803
        """A note, with what is printed at it kept apart from its chord's other tones."""
        note = super().xmlToSimpleNote(mxNote, freeSpanners)
        self._keep(mxNote, note)
        return note

    def xmlToRest(self, mxRest: Element) -> Any:  # noqa: N802, N803
        """A rest, with what is printed at it."""
        rest = super().xmlToRest(mxRest)
        self._keep(mxRest, rest)
        return rest

    def xmlToTuplets(self, mxNote: Element) -> list[Any]:  # noqa: N802, N803
        """The ratio as it is written: music21 reduces six in the time of four where it can."""
        from music21.duration import Tuplet

        numbers = (
            int(mxNote.findtext(f"time-modification/{name}", ""))
            for name in ("actual-notes", "normal-notes")
        )
        return [Tuplet(*numbers)]

    def xmlNotations(self, mxNotations: Element, n: Any) -> None:  # noqa: N802, N803
        """Left to ``_keep``."""

    def _keep(self, element: Element, note: Any) -> None:
        from music21.dynamics import Dynamic

        printed, slurs = read_notations(element, self.bar.lost)
        self._printed[id(note)] = printed
        self._staves[id(note)] = self.getStaffNumber(element) or 1
        for slur in slurs:
            slur.bar = self.index
        self._slurs.extend(slurs)
        for dynamic in element.iterfind("notations/dynamics/*"):
            staff = self.getStaffNumber(element)
            offset = quarters(self.offsetMeasureNote)
            self.bar.signs.append(RawSign(Dynamic(dynamic.tag), offset, staff))

    def setDirectionInDirectionType(  # noqa: N802
        self,
        mxDir: Element,  # noqa: N803
        mxDirection: Element,  # noqa: N803
        staffKey: int,  # noqa: N803
        totalOffset: float,  # noqa: N803
    ) -> None:
        """Spans at the place where they stand; words and dynamics as music21 reads them."""
        tag, kind = mxDir.tag, mxDir.get("type", "")
        if tag not in ("wedge", "pedal", "octave-shift"):
            if tag in _LOST:
                self.bar.lost[_LOST[tag]] += kind != "stop"
                return
            super().setDirectionInDirectionType(mxDir, mxDirection, staffKey, totalOffset)
            return
        offset = max(quarters(totalOffset), quarters(0))
        closes = kind in _CLOSING or (tag == "pedal" and kind == "change")
        opens = kind not in (*_CLOSING, "continue")
        for opening, wanted in ((False, closes), (True, opens)):
            if wanted:
                edge = Edge(
                    group=tag,
                    kind=_SPANS.get((tag, kind), "pedal"),
                    opens=opening,
                    number=mxDir.get("number", "1"),
                    bar=self.index,
                    offset=offset,
                    staff=staffKey,
                    placement=mxDirection.get("placement"),
                    size=int(mxDir.get("size", "8")),
                )
                self.part.edges.append(edge)

    def setDynamicsDirection(  # noqa: N802
        self,
        mxDir: Element,  # noqa: N803
        mxDyn: Element,  # noqa: N803
        mxDirection: Element,  # noqa: N803
        staffKey: int,  # noqa: N803
        totalOffset: float,  # noqa: N803
    ) -> None:
        """A dynamic; one that MusicXML has no element for is words of its own."""
        if mxDyn.tag != "other-dynamics":
            super().setDynamicsDirection(mxDir, mxDyn, mxDirection, staffKey, totalOffset)
        elif (mxDyn.text or "").strip():
            words = self.xmlToTextExpression(mxDyn)
            words.placement = mxDirection.get("placement", "below")
            words.style.fontStyle = "italic"
            self.insertCoreAndRef(totalOffset, staffKey, words)

    def xmlToTempoIndication(self, mxMetronome: Element, mxWords: Any = None) -> Any:  # noqa: N802, N803
        """A metronome mark; of ``c. 120`` or ``108-120`` the first number counts."""
        mark = super().xmlToTempoIndication(mxMetronome, mxWords)
        about = _NUMBER.search(mxMetronome.findtext("per-minute") or "")
        if "MetronomeMark" in mark.classSet and mark.number is None and about:
            mark.number = float(about[0])
        return mark

    def xmlHarmony(self, mxHarmony: Element) -> None:  # noqa: N802, N803
        """Chord symbols are no piano music."""
        self.bar.lost["chord symbols"] += 1

    def xmlSound(self, mxSound: Element) -> None:  # noqa: N802, N803
        """Playback is not print."""

    def setSound(self, *_: Any) -> None:  # noqa: N802
        """Playback is not print."""

    def xmlBarline(self, mxBarline: Element) -> None:  # noqa: N802, N803
        """Repeats, endings and the style of a bar line."""
        bar, location = self.bar, mxBarline.get("location", "right")
        repeat, ending = mxBarline.find("repeat"), mxBarline.find("ending")
        if location == "left":
            bar.left_style = mxBarline.findtext("bar-style")
        elif location == "right":
            bar.right_style = mxBarline.findtext("bar-style")
        else:
            self.bar.lost["bar lines inside measures"] += 1
        if repeat is not None:
            bar.repeat_start |= repeat.get("direction") == "forward"
            bar.repeat_end |= repeat.get("direction") == "backward"
        if ending is not None:
            shown = (ending.text or "").strip().rstrip(".")
            number = shown if shown.isdecimal() else ending.get("number", "")
            bar.endings.append(RawEnding(ending.get("type", "stop"), number))
