"""A drawing is written over only if it is one of ours, as we left it."""

from pathlib import Path

import pytest

from engrave.errors import EngraveError
from engrave.machine.saving import replace
from engrave.machine.signed import write_drawing

SVG = b'<svg xmlns="http://www.w3.org/2000/svg"/>\n'


def test_our_own_drawing_is_renewed(tmp_path: Path) -> None:
    path = tmp_path / "a.svg"
    for svg in (SVG, SVG + SVG):
        write_drawing(path, svg)
        assert path.read_bytes().startswith(svg)
    assert [each.name for each in tmp_path.iterdir()] == ["a.svg"]


@pytest.mark.parametrize("change", [b"<score-partwise/>", b"", SVG])
def test_anything_else_stays(tmp_path: Path, change: bytes) -> None:
    path = tmp_path / "a.svg"
    path.write_bytes(change)
    with pytest.raises(EngraveError, match="is there already"):
        write_drawing(path, SVG)
    assert path.read_bytes() == change


def test_a_drawing_changed_since_stays(tmp_path: Path) -> None:
    path = tmp_path / "a.svg"
    write_drawing(path, SVG)
    path.write_bytes(path.read_bytes().replace(b"svg", b"SVG", 1))
    before = path.read_bytes()
    with pytest.raises(EngraveError, match="is there already"):
        write_drawing(path, SVG)
    assert path.read_bytes() == before


def test_a_folder_or_a_link_is_told(tmp_path: Path) -> None:
    (tmp_path / "nowhere").symlink_to(tmp_path / "no" / "such")
    for path in (tmp_path, tmp_path / "nowhere", tmp_path / "no" / "a.svg"):
        with pytest.raises(EngraveError):
            write_drawing(path, SVG)


def test_a_file_keeps_its_mode_and_a_link_stays_one(tmp_path: Path) -> None:
    path = tmp_path / "log"
    path.write_bytes(b"old")
    path.chmod(0o640)
    (tmp_path / "link").symlink_to(path)
    replace(tmp_path / "link", b"new")
    assert path.read_bytes() == b"new"
    assert path.stat().st_mode & 0o777 == 0o640
    assert (tmp_path / "link").is_symlink()
