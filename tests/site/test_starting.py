"""The steps of a start, each by itself."""

from datetime import datetime

import pytest
from django.core.management import get_commands
from django.db import connection

from grower.home import data_folder
from grower.starting import backup, ground, people
from grower.starting.trouble import Trouble
from ledger.facts.models import User


def test_the_demonstration_has_a_folder_of_its_own(tmp_path, monkeypatch):
    """`--demo` never touches the holding's own records."""
    monkeypatch.setenv("LEDGER_HOME", "")

    assert ground.lay(tmp_path, ["--demo"]) == (tmp_path / "ledger-demo").resolve()
    assert data_folder(tmp_path) == (tmp_path / "ledger-demo").resolve()


def test_a_folder_named_is_the_one_used(tmp_path, monkeypatch):
    """LEDGER_HOME holds for the demonstration too."""
    monkeypatch.setenv("LEDGER_HOME", str(tmp_path / "elsewhere"))

    assert ground.lay(tmp_path, ["--demo"]) == (tmp_path / "elsewhere").resolve()


def test_without_a_name_the_data_lie_in_the_checkout(tmp_path, monkeypatch):
    """The folder git leaves alone."""
    monkeypatch.setenv("LEDGER_HOME", "")

    assert ground.lay(tmp_path, []) == (tmp_path / "ledger-data").resolve()


def test_the_key_is_written_once(tmp_path, monkeypatch):
    """A second laying of the ground keeps the key."""
    monkeypatch.setenv("LEDGER_HOME", str(tmp_path))
    ground.lay(tmp_path, [])
    key = (tmp_path / "secret-key").read_text()
    ground.lay(tmp_path, [])

    assert (tmp_path / "secret-key").read_text() == key


@pytest.mark.django_db
def test_an_empty_ledger_gives_a_set_up_link():
    """The first start lets somebody set up."""
    says, path = people.way_in(demo=False)

    assert "Set the ledger up" in says
    assert path.startswith("/set-up/")


def test_a_ledger_with_people_gives_no_link(owner):
    """Later starts let nobody in by a link."""
    assert people.way_in(demo=False) is None


def test_the_demonstration_gives_a_sign_in_link(owner):
    """The demonstration lets one in as its owner."""
    says, path = people.way_in(demo=True)

    assert "within the hour" in says
    assert path.startswith("/come-in/")


def test_the_demonstration_is_loaded_into_an_empty_ledger_only(owner, monkeypatch):
    """Starting the demonstration again keeps what was done in it."""
    monkeypatch.setattr(people, "call_command", lambda name: pytest.fail(f"{name} was run"))
    people.load_demonstration(pytest.fail)

    assert User.objects.count() == 1


@pytest.mark.django_db
def test_an_empty_ledger_is_filled_with_the_demonstration(monkeypatch):
    """The first start of the demonstration says what it does and does it."""
    said, run = [], []
    monkeypatch.setattr(people, "call_command", run.append)
    people.load_demonstration(said.append)

    assert (len(said), run) == (1, ["load_demo"])
    assert "load_demo" in get_commands()


@pytest.mark.postgres
@pytest.mark.django_db
def test_without_its_programs_postgresql_is_not_updated_unsaved(tmp_path, monkeypatch):
    """Where no backup can be made the owner is asked to make one."""
    monkeypatch.setattr(backup.shutil, "which", lambda name: None)

    with pytest.raises(Trouble, match="--backed-up"):
        backup.make(tmp_path / "backups", datetime(2025, 1, 1))


@pytest.mark.postgres
@pytest.mark.django_db
def test_postgresql_is_backed_up_and_read_back(tmp_path):
    """The dump can be listed by the program that restores it."""
    assert backup.make(tmp_path / "backups", datetime(2025, 1, 1)).stat().st_size > 0


@pytest.mark.postgres
@pytest.mark.django_db
def test_postgresql_compiles_no_question():
    """Compiling one takes longer than the slowest question does."""
    with connection.cursor() as cursor:
        cursor.execute("SHOW jit")

        assert cursor.fetchone() == ("off",)
