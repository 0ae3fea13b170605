"""The cache: what it keeps, what it refuses to read, and that nothing depends on it."""

import os
import pickle
import time
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest

from engrave.errors import EngraveError
from engrave.machine.cache import Cache, key_of, user_folder
from engrave.music.notes import Hand, Pitch

KEY = key_of("test", 1)
VALUE = (Pitch("F", 1, 4), Hand.LEFT, Fraction(3, 4), {"a": b"bytes"}, None)


def counting(value: object = VALUE) -> tuple[Callable[[], object], list[int]]:
    calls: list[int] = []

    def make() -> object:
        calls.append(1)
        return value

    return make, calls


def the_file(folder: Path) -> Path:
    (path,) = folder.glob("??/*")
    return path


def test_a_value_is_made_once(tmp_path: Path) -> None:
    make, calls = counting()
    assert [Cache(tmp_path).made(KEY, make) for _ in range(3)] == [VALUE] * 3
    assert len(calls) == 1


def test_without_a_folder_nothing_is_kept() -> None:
    make, calls = counting()
    cache = Cache(None)
    assert [cache.made(KEY, make) for _ in range(2)] == [VALUE] * 2
    assert len(calls) == 2


def test_keys_tell_kinds_and_parts_apart() -> None:
    keys = {key_of("a", 1), key_of("b", 1), key_of("a", "1"), key_of("a", 1, 2), key_of("a", (1,))}
    assert len(keys) == 5
    assert key_of("a", Pitch("C", 0, 4)) == key_of("a", Pitch("C", 0, 4))


@pytest.mark.parametrize(
    "damage",
    [
        lambda content: b"",
        lambda content: content[:-1],
        lambda content: content[:40],
        lambda content: content[:50] + bytes([content[50] ^ 1]) + content[51:],
        lambda content: bytes(len(content)),
        lambda content: content + b"x",
    ],
)
def test_a_damaged_file_is_made_anew(tmp_path: Path, damage: Callable[[bytes], bytes]) -> None:
    make, calls = counting()
    Cache(tmp_path).made(KEY, make)
    path = the_file(tmp_path)
    path.write_bytes(damage(path.read_bytes()))
    assert Cache(tmp_path).made(KEY, make) == VALUE
    assert len(calls) == 2
    assert Cache(tmp_path).made(KEY, make) == VALUE
    assert len(calls) == 2


def test_a_file_under_the_wrong_name_is_not_taken(tmp_path: Path) -> None:
    other = key_of("test", 2)
    Cache(tmp_path).made(other, lambda: "other")
    path = tmp_path / KEY[:2] / KEY[2:]
    path.parent.mkdir(exist_ok=True)
    (tmp_path / other[:2] / other[2:]).rename(path)
    assert Cache(tmp_path).made(KEY, lambda: "mine") == "mine"


class Hostile:
    """What a pickle can do: call anything on being read."""

    def __init__(self, action: Callable[..., object], *arguments: object) -> None:
        self.call = (action, arguments)

    def __reduce__(self) -> tuple[Callable[..., object], tuple[object, ...]]:
        return self.call


@pytest.mark.parametrize("action", [os.mkdir, user_folder, EngraveError, eval])
def test_a_forged_file_calls_nothing(tmp_path: Path, action: Callable[..., object]) -> None:
    """Even with the right digest, which anyone who can write the file can compute."""
    from engrave.machine import cache

    path = tmp_path / "cache" / KEY[:2] / KEY[2:]
    path.parent.mkdir(parents=True)
    victim = tmp_path / "made-by-reading"
    arguments = () if action is user_folder else (str(victim),)
    forged = Hostile(action, *arguments)
    with pytest.raises(pickle.UnpicklingError):
        cache._Reader(__import__("io").BytesIO(pickle.dumps(forged))).load()
    path.write_bytes(cache._packed(forged, KEY))
    assert Cache(tmp_path / "cache").made(KEY, lambda: "mine") == "mine"
    assert not victim.exists()


def test_a_folder_that_cannot_be_written_changes_nothing(tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("not a folder")
    assert Cache(blocked / "below").made(KEY, lambda: VALUE) == VALUE
    assert Cache(Path("/proc/1/nowhere")).made(KEY, lambda: VALUE) == VALUE


def test_a_full_disk_changes_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    full = Path("/dev/full")
    if not full.exists():
        pytest.skip("this system has no /dev/full")
    monkeypatch.setattr(
        "tempfile.mkstemp", lambda dir: (os.open(full, os.O_WRONLY), str(tmp_path / "half"))
    )
    assert Cache(tmp_path).made(KEY, lambda: VALUE) == VALUE
    assert list(tmp_path.glob("??/*")) == []


def test_the_cache_stays_small_and_forgets_what_is_oldest(tmp_path: Path) -> None:
    cache = Cache(tmp_path, most_bytes=30_000)
    keys = [key_of("size", number) for number in range(20)]
    for age, key in enumerate(keys):
        cache.made(key, lambda: os.urandom(4000))
        when = time.time() - 1000 + age
        os.utime(tmp_path / key[:2] / key[2:], (when, when))
    cache.trim()
    left = {path.parent.name + path.name for path in tmp_path.glob("??/*")}
    assert left == set(keys[-7:])


def test_halves_of_killed_builds_go_and_those_of_running_ones_stay(tmp_path: Path) -> None:
    cache = Cache(tmp_path)
    cache.made(KEY, lambda: VALUE)
    old, new = (the_file(tmp_path).with_name(name) for name in ("tmpold", "tmpnew"))
    old.write_bytes(b"half")
    new.write_bytes(b"half")
    os.utime(old, (0, 0))
    cache.trim()
    assert not old.exists()
    assert new.exists()


def test_the_folder_follows_the_user(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """XDG Base Directory Specification 0.8: a relative path is to be ignored."""
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_CACHE_HOME", "/somewhere")
    assert user_folder() == Path("/somewhere/engrave")
    for value in ("", "relative/path"):
        monkeypatch.setenv("XDG_CACHE_HOME", value)
        assert user_folder() == tmp_path / ".cache/engrave"
