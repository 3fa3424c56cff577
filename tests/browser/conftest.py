"""Browsers as wide as a phone and a desk, and ledgers really started to be walked through."""

import fcntl
import json
import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from playwright.sync_api import Browser, sync_playwright

from tests.browser.walking import Walk
from tests.conftest import chromium
from tests.serving import manage, serving

FLAGS = [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]
SIZES = {"phone": (360, 740), "desk": (1280, 800)}


class Demo(NamedTuple):
    """The demonstration being served: its data folder, its address, what a signed-in browser keeps."""

    folder: Path
    address: str
    signed_in: Any


@pytest.fixture
def browser() -> Iterator[Browser]:
    """Debian's Chromium, opened for one test: the driver must not outlive it beside other tests."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=FLAGS)
        yield browser
        browser.close()


@contextmanager
def walking(
    request: pytest.FixtureRequest, browser: Browser, address: str, *, bears: tuple[str, ...] = ("422",), **given: Any
) -> Iterator[Walk]:
    """A person in front of a ledger, on a phone unless a `size` says otherwise; scripts may complain only of what it `bears`."""
    size = request.getfixturevalue("size") if "size" in request.fixturenames else "phone"
    width, height = SIZES[size]
    page = browser.new_context(viewport={"width": width, "height": height}, locale="en-GB", **given).new_page()
    complaints: list[str] = []
    page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    yield Walk(page, address, f"{request.node.originalname}-{size}")
    assert [said for said in complaints if not any(known in said for known in bears)] == []


@pytest.fixture
def empty_ledger(tmp_path: Path) -> Iterator[tuple[Path, str]]:
    """A first start: the data folder and the set-up link it printed."""
    with serving(tmp_path / "ledger") as lines:
        yield tmp_path / "ledger", first_link(lines)


@pytest.fixture
def newcomer(request: pytest.FixtureRequest, browser: Browser, empty_ledger: tuple[Path, str]) -> Iterator[Walk]:
    """Somebody in front of an empty ledger."""
    with walking(request, browser, host_of(empty_ledger[1])) as walk:
        yield walk


@pytest.fixture
def visitor(request: pytest.FixtureRequest, browser: Browser, demo: Demo) -> Iterator[Walk]:
    """The demonstration's owner, signed in."""
    with walking(request, browser, demo.address, storage_state=demo.signed_in) as walk:
        yield walk


@pytest.fixture(scope="session")
def demo_loaded(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """The demonstration, brought in once for all workers."""
    shared = tmp_path_factory.getbasetemp() if worker_id == "master" else tmp_path_factory.getbasetemp().parent
    folder, done = shared / "demo", shared / "demo-done"
    with open(shared / "demo-lock", "w", encoding="ascii") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not done.exists():
            said, code = manage(folder, "start", "--demo", "--no-serve")
            assert code == 0, said
            done.touch()
    return folder


@pytest.fixture(scope="session")
def demo(demo_loaded: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Demo]:
    """A copy of the demonstration, served, its one-use link used."""
    folder = shutil.copytree(demo_loaded, tmp_path_factory.mktemp("demo") / "ledger")
    with serving(folder, "--demo") as lines:
        link = first_link(lines)
        yield Demo(folder, host_of(link), come_in(link))


def come_in(link: str) -> Any:
    """Use the sign-in link; return what a browser keeps of it."""
    with sync_playwright() as playwright:
        page = playwright.chromium.launch(executable_path=chromium(), args=FLAGS).new_page()
        page.goto(link)
        page.get_by_role("button", name="Come in").click()
        page.get_by_role("heading", name="Today").wait_for()
        return page.context.storage_state()


def first_link(lines: list[str]) -> str:
    """The link to begin with, of the lines a start printed."""
    return re.findall(r"http://\S+", "".join(lines))[0]


def host_of(link: str) -> str:
    """The address without what follows the host."""
    return link[: link.index("/", len("http://"))]


def asked(folder: Path, *command: str) -> dict[str, Any]:
    """What a JSON command says of a folder."""
    said, code = manage(folder, *command, "--json")
    assert code == 0, said
    return json.loads(said)
