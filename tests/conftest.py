"""What the whole suite shares: builds of real scores, each made once a session."""

import os
from collections.abc import Callable

import pytest
from hypothesis import settings

from tests.works import Built, Work, build

# The suite generates the same music each time; HYPOTHESIS_PROFILE=explore looks for other music.
settings.register_profile("repeat", derandomize=True, deadline=None)
settings.register_profile("explore", deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "repeat"))


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Callable[[Work], Built]:
    """Builds a work by the command line, on first use."""
    done: dict[str, Built] = {}

    def get(work: Work) -> Built:
        if work.name not in done:
            done[work.name] = build(work, tmp_path_factory.mktemp(work.name))
        return done[work.name]

    return get


@pytest.fixture(autouse=True)
def _own_cache(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep the tests out of the user's cache."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.getbasetemp() / "cache"))
