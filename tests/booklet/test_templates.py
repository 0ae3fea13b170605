"""What templates compile to is kept beside them, and is never needed."""

from pathlib import Path

import pytest

from engrave.booklet import templates

SIGN = '<svg xmlns="http://www.w3.org/2000/svg"'


def rendered() -> str:
    """The rows of boxes of a ladder, from a new environment."""
    from fractions import Fraction

    from engrave.booklet.style import page_style
    from engrave.music.drill import Ladder

    style = page_style()
    return str(
        templates.environment()
        .get_template("tempo.svg")
        .render(
            ladder=Ladder(Fraction(1), (60, 66, 72)),
            sign="",
            next=60,
            box=style.tempo_box,
            per_row=3,
            width=style.tempo_width_mm(3),
        )
    )


def test_compiled_templates_are_kept_and_found(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(templates, "COMPILED", tmp_path / "kept")
    first = rendered()
    (kept,) = (tmp_path / "kept").iterdir()
    written = kept.read_bytes()
    assert SIGN in first
    assert rendered() == first
    assert kept.read_bytes() == written


@pytest.mark.parametrize("damage", [b"", b"not compiled", None])
def test_damaged_ones_are_compiled_anew(
    damage: bytes | None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(templates, "COMPILED", tmp_path)
    first = rendered()
    (kept,) = tmp_path.iterdir()
    whole = kept.read_bytes()
    kept.write_bytes(whole[:-40] if damage is None else damage)
    assert rendered() == first
    assert kept.read_bytes() == whole


def test_where_nothing_can_be_written_they_are_compiled(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setattr(templates, "COMPILED", tmp_path / "file")
    assert SIGN in rendered()
