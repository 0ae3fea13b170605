"""A drill's pictures: finite in size, with ink on every staff, drawn by resvg."""

import io
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from PIL import Image

from tests.checks.manifest import DrillEntry
from tests.checks.raster import Grey, find_staves, ink_share

PIXELS_PER_MM = 8.0
LEAST_INK = 0.01
"""Share of a staff's spaces that a clef and a note at least fill."""
MM_PER_UNIT = {"mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72, "px": 25.4 / 96, "": 25.4 / 96}


def size_mm(svg: Path) -> tuple[float, float] | None:
    """Width and height as the SVG's root says; None where it says no finite size."""
    root = ET.parse(svg).getroot()
    sizes = []
    for name in ("width", "height"):
        found = re.fullmatch(r"(\d+(?:\.\d+)?)(mm|cm|in|pt|px|)", root.get(name, ""))
        if not found:
            return None
        sizes.append(float(found[1]) * MM_PER_UNIT[found[2]])
    return sizes[0], sizes[1]


def rasterise(svg: Path, width_mm: float) -> Grey:
    import resvg_py

    png = resvg_py.svg_to_bytes(
        svg_path=str(svg),
        width=round(width_mm * PIXELS_PER_MM),
        dpi=96,
        background="white",
        skip_system_fonts=True,
    )
    return np.asarray(Image.open(io.BytesIO(bytes(png))).convert("L"))


def picture_findings(drill: DrillEntry, tallest_mm: float = 300.0) -> Iterator[str]:
    """All pictures of a drill together show its systems' staves, every one inked."""
    count = 0
    for svg in drill.svg:
        size = size_mm(svg)
        if size is None or not (5 < size[0] < tallest_mm and 5 < size[1] < tallest_mm):
            yield f"{svg.name}: no size on paper: {size}"
            continue
        grey = rasterise(svg, size[0])
        staves = find_staves(grey, PIXELS_PER_MM)
        count += len(staves)
        for number, staff in enumerate(staves, start=1):
            if ink_share(grey, staff) < LEAST_INK:
                yield f"{svg.name}: staff {number} is empty"
    if count != drill.staves * drill.systems:
        yield (
            f"{drill.id}: {count} staves are drawn, {drill.systems} systems of {drill.staves} "
            f"are promised"
        )
