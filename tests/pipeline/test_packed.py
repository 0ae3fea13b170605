"""What is held packed comes out as it went in; the manifest is written piece by piece."""

import json
from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.booklet.pictures import Pictures
from engrave.machine.packed import Packed, PackedFiles
from engrave.pipeline.manifest import listed

Files = st.dictionaries(st.text(max_size=5), st.binary(max_size=200))


@given(Files, Files)
def test_files_are_a_mapping_like_any_other(one: dict[str, bytes], other: dict[str, bytes]) -> None:
    files = PackedFiles(one)
    files.add(PackedFiles(other))
    assert {**files} == {**one, **other}
    assert {**files.of(other)} == other
    assert len(files) == len({**one, **other})
    assert all(name in files for name in one)
    for name in other:
        del files[name]
    assert {**files} == {name: each for name, each in one.items() if name not in other}


@given(st.lists(st.binary(max_size=100)))
def test_pieces_are_packed_as_a_whole(pieces: list[bytes]) -> None:
    assert Packed.of_pieces(pieces).content == b"".join(pieces)


class _Drawn:
    width_mm, height_mm, svg = 1.0, 2.0, b"<svg/>"


def test_music_is_asked_for_its_drawing_and_all_else_is_packed() -> None:
    pictures = Pictures({"1-0-1": _Drawn()})
    pictures["boxes-1"] = b"<svg>boxes</svg>"
    assert {**pictures} == {"1-0-1": b"<svg/>", "boxes-1": b"<svg>boxes</svg>"}
    assert len(pictures) == 2
    assert "1-0-1" in pictures
    assert "boxes-1" in pictures
    del pictures["boxes-1"]
    with pytest.raises(KeyError):
        pictures["boxes-1"]


@pytest.mark.parametrize(
    "values",
    [
        [],
        [{"a": 1}],
        [{"a": ["ä\n", {}]}, {"b": [], "c": [[1]]}],
        [{"n": [number]} for number in range(100)],
    ],
)
def test_a_list_is_written_as_if_at_once(values: list[Mapping[str, object]]) -> None:
    at_once = json.dumps({"first": 1, "all": values}, ensure_ascii=False, indent=1)
    begun = json.dumps({"first": 1}, indent=1).removesuffix("\n}").encode()
    assert b"".join([begun, *listed("all", values), b"\n}"]).decode() == at_once
