"""`manage.py start`: what it prepares, and the plain sentence with which it refuses."""

import re
import shutil
import socket
import sqlite3
import stat
import urllib.request
from contextlib import closing

import pytest

from grower.starting import alone
from tests.serving import manage, serving

pytestmark = pytest.mark.filterwarnings("ignore::ResourceWarning")


def refused_plainly(said, code):
    """The sentence of a refusal: no trace of the program's insides."""
    assert code == 1
    assert "Traceback" not in said
    return said.strip().splitlines()[-1]


@pytest.fixture(scope="session")
def prepared(tmp_path_factory):
    """A folder made by a first start."""
    folder = tmp_path_factory.mktemp("first") / "ledger"
    said, code = manage(folder, "start", "--no-serve")
    assert code == 0, said
    return folder


@pytest.fixture
def folder(prepared, tmp_path):
    """A copy of the prepared folder."""
    return shutil.copytree(prepared, tmp_path / "ledger")


def test_the_first_start_makes_everything(prepared):
    """The folder, its key for its owner only, the database, the static files."""
    assert stat.S_IMODE((prepared / "secret-key").stat().st_mode) == 0o600
    assert len((prepared / "secret-key").read_text()) > 50
    assert (prepared / "ledger.sqlite3").is_file()
    assert list((prepared / "static").glob("ledger.*.css"))


def test_starting_twice_is_safe(folder):
    """The second start keeps the key, collects nothing anew and needs no backup."""
    key, collected = (folder / "secret-key").read_text(), (folder / "static" / "collected-from").stat().st_mtime_ns
    said, code = manage(folder, "start", "--no-serve")

    assert (code, "Backed up" in said) == (0, False)
    assert (folder / "secret-key").read_text() == key
    assert (folder / "static" / "collected-from").stat().st_mtime_ns == collected


def test_changed_files_are_collected_again(folder):
    """Static files follow their sources."""
    (folder / "static" / "collected-from").write_text("something older")
    manage(folder, "start", "--no-serve")

    assert len((folder / "static" / "collected-from").read_text()) == 64


def test_an_update_is_backed_up_first(folder):
    """Before the database changes, a sound copy of it lies in the folder."""
    said, code = manage(folder, "migrate", "books", "zero")
    assert code == 0, said
    said, code = manage(folder, "start", "--no-serve")
    copy = next((folder / "backups").glob("*.sqlite3"))

    assert (code, f"Backed up to {copy}" in said) == (0, True)
    with closing(sqlite3.connect(copy)) as before, closing(sqlite3.connect(folder / "ledger.sqlite3")) as after:
        closes = "SELECT count(*) FROM sqlite_master WHERE name = 'books_yearclose'"
        assert before.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert (before.execute(closes).fetchone(), after.execute(closes).fetchone()) == ((0,), (1,))


def test_a_newer_database_is_refused(folder):
    """An older program does not touch what a newer one made."""
    with closing(sqlite3.connect(folder / "ledger.sqlite3")) as database:
        database.execute("INSERT INTO django_migrations (app, name, applied) VALUES ('stock', '9999_later', '2026-01-01')")
        database.commit()

    sentence = refused_plainly(*manage(folder, "start", "--no-serve"))
    assert "newer than this program (it has stock 9999_later)" in sentence


def test_a_second_server_on_one_folder_is_refused(folder):
    """Two servers would not know of each other."""
    with alone.take(folder):
        sentence = refused_plainly(*manage(folder, "start", "--no-serve"))

    assert f"A ledger is already running on {folder}" in sentence
    assert "LEDGER_HOME" in sentence


def test_a_port_in_use_is_refused(folder):
    """The sentence names the port and the way out."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        sentence = refused_plainly(*manage(folder, "start", "--port", str(port)))

    assert f"Port {port} is in use by another program" in sentence
    assert "--port" in sentence


def test_a_folder_that_cannot_be_written_is_refused(tmp_path):
    """Here a file stands where the folder should be."""
    (tmp_path / "in-the-way").write_text("")
    sentence = refused_plainly(*manage(tmp_path / "in-the-way" / "ledger", "start", "--no-serve"))

    assert "cannot be written" in sentence
    assert "LEDGER_HOME" in sentence


def test_a_wrong_setting_is_named(folder):
    """The variable that is wrong is in the sentence."""
    sentence = refused_plainly(*manage(folder, "start", "--no-serve", LEDGER_HTTPS="perhaps"))

    assert sentence == "LEDGER_HTTPS must be 1 or 0, not 'perhaps'."


def test_a_database_that_is_not_there_is_refused(folder):
    """A database server that does not answer is said plainly."""
    sentence = refused_plainly(*manage(folder, "start", "--no-serve", DATABASE_URL="sqlite:////nowhere/at/all.sqlite3"))

    assert "cannot be opened" in sentence


def test_without_pango_it_starts_and_says_so(folder, tmp_path):
    """Papers open as pages then; nothing else is lacking."""
    (tmp_path / "weasyprint.py").write_text("raise OSError('cannot load library pango')")
    said, code = manage(folder, "start", "--no-serve", PYTHONPATH=str(tmp_path))

    assert code == 0
    assert "Pango is missing" in said


def test_the_server_prints_its_set_up_link(folder):
    """Somebody new finds the way in; the page comes under the policy."""
    with serving(folder) as lines:
        link = re.search(r"http://127\.0\.0\.1:\d+/set-up/\S+", "".join(lines))[0]
        with urllib.request.urlopen(link) as page:
            assert page.status == 200
            assert "unsafe" not in page.headers["Content-Security-Policy"]
            style = re.search(r'href="(/static/ledger\.[0-9a-f]+\.css)"', page.read().decode())[1]
        with urllib.request.urlopen(link.split("/set-up/")[0] + style) as sheet:
            assert sheet.headers["Content-Type"].startswith("text/css")
