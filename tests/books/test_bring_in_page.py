"""The page and the command that bring in a folder."""

import io
import json
import zipfile

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import CommandError, call_command
from django.urls import reverse

from ledger.growing.models import Planting
from tests.books.folders import GOOD, folder

pytestmark = pytest.mark.django_db
LEFT_OUT = {"holding", "tax_statuses"}
ROWS = {name: text for name, text in folder().items() if name.removesuffix(".csv") not in LEFT_OUT}


def zipped(files, name="season.zip"):
    """The files as one zip."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as into:
        for inner, text in files.items():
            into.writestr(f"season/{inner}", text)
    return SimpleUploadedFile(name, packed.getvalue())


def test_a_zip_is_brought_in(owner, client_as):
    """The page says how many rows came in, and goes on to itself."""
    answer = client_as(owner).post(reverse("books:bring_in"), {"sent": zipped(ROWS)}, follow=True)

    assert answer.redirect_chain
    assert "plantings.csv 1" in answer.content.decode()
    assert Planting.objects.count() == 1


def test_several_csvs_are_brought_in(owner, client_as):
    """They need not be packed."""
    files = [SimpleUploadedFile(name, text) for name, text in ROWS.items()]
    client_as(owner).post(reverse("books:bring_in"), {"sent": files})

    assert Planting.objects.count() == 1


def test_the_page_shows_every_fault(owner, client_as):
    """File, line, column and reason stand in a table; nothing came in."""
    rows = {**ROWS, "lots.csv": GOOD["lots"].replace("200", "many").encode()}
    answer = client_as(owner).post(reverse("books:bring_in"), {"sent": zipped(rows)})

    page = answer.content.decode()
    assert answer.status_code == 422
    assert "lots.csv" in page and "“many” is not a whole number." in page and "lots.csv 2" in page
    assert not Planting.objects.exists()


@pytest.mark.parametrize(
    "one",
    [SimpleUploadedFile("season.xlsx", b"x"), SimpleUploadedFile("season.zip", b"x")],
    ids=["no CSV", "no zip"],
)
def test_what_is_no_csv_is_refused(owner, client_as, one):
    """The page says which file it cannot open."""
    answer = client_as(owner).post(reverse("books:bring_in"), {"sent": one})

    assert answer.status_code == 422
    assert one.name in answer.content.decode()


def test_the_second_press_counts_once(owner, client_as):
    """The same files again are refused with a sentence."""
    client = client_as(owner)
    client.post(reverse("books:bring_in"), {"sent": zipped(ROWS)})
    answer = client.post(reverse("books:bring_in"), {"sent": zipped(ROWS)})

    assert answer.status_code == 422
    assert "was brought in by owner" in answer.content.decode()
    assert Planting.objects.count() == 1


def test_the_page_lists_every_column(owner, client_as):
    """What may stand in a cell stands beside the column's name."""
    page = client_as(owner).get(reverse("books:bring_in")).content.decode()

    assert "<code>productive_seasons</code>" in page
    assert "firsts | seconds | oddments" in page


def test_a_hand_may_not_bring_in(hand, client_as):
    """Records come in by those who keep the books."""
    assert client_as(hand).get(reverse("books:bring_in")).status_code == 403


def write(folder_path, files):
    """The files in a folder."""
    for name, text in files.items():
        (folder_path / name).write_bytes(text)


def test_the_command_says_what_came_in(tmp_path, capsys):
    """On an empty ledger the folder's holding.csv names the owner."""
    write(tmp_path, folder())
    call_command("bring_in", str(tmp_path), "--json")

    said = json.loads(capsys.readouterr().out)
    assert said["ok"] and said["rows"]["plantings.csv"] == 1


def test_the_command_says_what_is_wrong_and_fails(tmp_path, capsys):
    """Each fault with file, line, column and reason; the command fails."""
    write(tmp_path, folder(lots=GOOD["lots"].replace("200", "many")))
    with pytest.raises(CommandError, match="1 faulty"):
        call_command("bring_in", str(tmp_path), "--json")

    said = json.loads(capsys.readouterr().out)
    assert said["faults"] == [
        {"file": "lots.csv", "line": 2, "column": "stems", "reason": "“many” is not a whole number."}
    ]
    assert {"file": "hangings.csv", "line": 2, "rests_on": "lots.csv 2"} in said["waiting"]


def test_the_command_prints_a_table(tmp_path, capsys):
    """Without --json the files stand under one another, the sum last."""
    write(tmp_path, folder())
    call_command("bring_in", str(tmp_path))

    lines = capsys.readouterr().out.split("\n")
    assert any(line.split() == ["lots.csv", "1"] for line in lines)


@pytest.mark.parametrize("arguments", [["nowhere"], [".", "--by", "nobody"]], ids=["no folder", "no such person"])
def test_the_command_says_what_would_do(owner, arguments):
    """A folder or a person that is not there is one sentence."""
    with pytest.raises(CommandError):
        call_command("bring_in", *arguments)


def test_the_command_lists_files_and_columns(capsys):
    """Columns that may be empty stand in brackets."""
    call_command("bring_in", "--columns")

    lines = [line.split() for line in capsys.readouterr().out.splitlines()]
    assert ["boxes.csv", "key,", "(shelf),", "(note)"] in lines


def test_the_command_prints_the_faults_in_a_table(tmp_path, capsys):
    """File, line, column and reason beside one another, waiting rows below."""
    write(tmp_path, folder(lots=GOOD["lots"].replace("200", "many")))
    with pytest.raises(CommandError):
        call_command("bring_in", str(tmp_path))

    first, *rest = capsys.readouterr().out.splitlines()
    assert first.split() == ["lots.csv", "2", "stems", "“many”", "is", "not", "a", "whole", "number."]
    assert any(line.split()[:2] == ["hangings.csv", "2"] and line.endswith("waits for lots.csv 2") for line in rest)


def test_a_file_sent_twice_is_refused(owner, client_as):
    """Which of the two was meant, only the grower knows."""
    files = [SimpleUploadedFile("plots.csv", GOOD["plots"].encode()), zipped({"plots.csv": GOOD["plots"].encode()})]
    answer = client_as(owner).post(reverse("books:bring_in"), {"sent": files})

    assert answer.status_code == 422
    assert "plots.csv was sent twice." in answer.content.decode()


def test_nothing_sent_keeps_the_page(owner, client_as):
    """The form asks for a file."""
    assert client_as(owner).post(reverse("books:bring_in")).status_code == 422
