"""What the whole suite shares: builds of real scores, each made once a session."""

import fcntl
import os
from collections import Counter
from collections.abc import Callable, Generator

import pytest
from hypothesis import Phase, settings

from tests.watch import browser
from tests.works import Built, Work, build, built_at

# The suite generates the same music each time; HYPOTHESIS_PROFILE=explore looks for other music.
settings.register_profile("repeat", derandomize=True, deadline=None)
settings.register_profile("explore", deadline=None)
# For ``tests.mutation``: a failure is enough, its smallest example is not looked for.
settings.register_profile(
    "once", derandomize=True, deadline=None, phases=(Phase.explicit, Phase.generate)
)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "repeat"))


def pytest_configure(config: pytest.Config) -> None:
    """Where CI=true the tests in a browser must run: a missing one is no reason to skip them."""
    if os.environ.get("CI") == "true" and browser.executable() is None:
        raise pytest.UsageError("there is no Chromium (.ci/browsers installs it), and CI=true")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item, call: pytest.CallInfo[None]
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Note with each test which browsers it opened."""
    report = yield
    report.user_properties += [("browser", name) for name in browser.OPENED]
    browser.OPENED.clear()
    return report


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say in the last lines in which browsers the tests ran."""
    reports = [each for group in terminalreporter.stats.values() for each in group]
    opened = Counter(
        value
        for each in reports
        for key, value in getattr(each, "user_properties", ())
        if key == "browser"
    )
    told = ", ".join(f"{name} (opened {count} times)" for name, count in sorted(opened.items()))
    terminalreporter.write_line(f"browsers: {told or 'none'}")


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Callable[[Work], Built]:
    """Builds a work by the command line, on first use, for all processes that run the tests."""
    own = tmp_path_factory.getbasetemp()
    shared = (own.parent if "PYTEST_XDIST_WORKER" in os.environ else own) / "built"
    shared.mkdir(exist_ok=True)

    def get(work: Work) -> Built:
        folder = shared / work.name
        code = shared / f"{work.name}.code"
        with (shared / f"{work.name}.lock").open("w") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            if not code.exists():
                code.write_text(str(build(work, folder).code), "utf-8")
        return built_at(work, folder, int(code.read_text("utf-8")))

    return get


@pytest.fixture(autouse=True)
def _own_cache(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep the tests out of the user's cache."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.getbasetemp() / "cache"))
