"""The README's pictures show what the tool prints today."""

from pathlib import Path

import pytest
from PIL import Image, ImageChops

from tests import pictures

ALIKE = 128
"""Of 255: what another version of a renderer may do to the edge of a stroke, and no stroke does."""
AGAIN = "{}: python -m tests.pictures draws it again"


def test_the_pictures_are_of_today(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    kept = pictures.PICTURES
    monkeypatch.setattr(pictures, "PICTURES", tmp_path)
    pictures.main()
    drawn = {path.name for path in tmp_path.iterdir()}
    assert drawn == {path.name for path in kept.iterdir()}
    for name in sorted(drawn):
        with Image.open(kept / name) as before, Image.open(tmp_path / name) as after:
            assert before.size == after.size, AGAIN.format(name)
            unlike = ImageChops.difference(before.convert("L"), after.convert("L"))
            assert max(unlike.tobytes()) < ALIKE, AGAIN.format(name)
