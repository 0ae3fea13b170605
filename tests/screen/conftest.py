"""The demo's screen edition, built once a session, and what it was built from."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from engrave.pipeline.checking import Checked, check
from tests.pipeline.demo import NAME
from tests.screen.opened import build, opened, with_modules
from tests.watch.browser import Page


@pytest.fixture(scope="session")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("screen")


@pytest.fixture(scope="session")
def file(root: Path) -> Path:
    return build(root)


@pytest.fixture(scope="session")
def checked(file: Path, root: Path) -> Checked:
    return check(root / f"{NAME}.yaml")


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """A blank page for the modules, one for a file of tests."""
    with with_modules(tmp_path_factory.mktemp("modules")) as opened:
        yield opened


@pytest.fixture(scope="module")
def shown(file: Path) -> Iterator[Page]:
    """The demo in a browser, one for a file of tests."""
    with opened(file) as page:
        page.see(820, 1180)
        yield page
