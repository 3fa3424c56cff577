"""The label of a box, as paper."""

import io
import shutil
import subprocess
from datetime import date

import pypdf
import pytest
from django.urls import reverse

from ledger.facts import paper
from ledger.stock.actions import Output, make_up
from tests.factories.drying import VarietyFactory
from tests.factories.made_up import wreath
from tests.factories.stock import BoxFactory, LineFactory, batch_of


@pytest.fixture
def box(owner):
    """A box of a poisonous species in two lines."""
    variety = VarietyFactory(species__name="Larkspur", species__caution="All parts are poisonous.", name="Tall", colour="violet")
    box = BoxFactory(shelf="North wall 2")
    batch_of(LineFactory(variety=variety, stems=10), 12, box=box)
    batch_of(LineFactory(variety=variety, grade="seconds", finish="dyed", colour="pink", stems=5), 3, box=box)
    return box


@pytest.fixture
def no_pango(monkeypatch):
    """A machine on which WeasyPrint does not load."""
    monkeypatch.setattr(paper, "pdf_maker", lambda: None)


needs_pdf = pytest.mark.skipif(paper.pdf_maker() is None, reason="no Pango")


def label(client, box):
    """The label of a box."""
    return client.get(reverse("stock:label", args=[box.pk]))


@needs_pdf
def test_a_label_says_what_is_in_the_box(hand, client_as, box):
    """Id, shelf, contents with colour, grade and season, and the caution, on one page."""
    answer = label(client_as(hand), box)

    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == f'inline; filename="box-{box.code}.pdf"'
    pages = pypdf.PdfReader(io.BytesIO(answer.content)).pages
    assert len(pages) == 1
    text = " ".join(pages[0].extract_text().split())
    for told in (
        box.code, "North wall 2", "12 × Larkspur Tall", "violet, firsts, season 2024", "3 × Larkspur Tall",
        "pink, seconds, dyed, season 2024", "All parts are poisonous.",
    ):
        assert told in text


@needs_pdf
def test_a_label_of_a_wreath_says_its_name_and_what_is_in_it(owner, client_as, box):
    """No variety, no grade; the caution of the larkspur in it."""
    batch, other = box.contents.first().batch, BoxFactory(shelf="B2")
    output = Output(wreath("Wreath 30 cm"), 2, box=other)
    make_up(by=owner, on=date(2024, 8, 5), outputs=[output], bunches=[(batch, box, 3)])

    text = " ".join(pypdf.PdfReader(io.BytesIO(label(client_as(owner), other).content)).pages[0].extract_text().split())

    assert "2 × Wreath 30 cm season 2024" in text and "All parts are poisonous." in text


@needs_pdf
@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="no poppler")
@pytest.mark.parametrize("address", ["", "https://boxes.example"])
def test_the_code_on_the_label_opens_the_box(hand, client_as, box, settings, tmp_path, address):
    """Read from the printed picture: the ledger's address, or the host it was asked from, and the box's page."""
    zxingcpp = pytest.importorskip("zxingcpp")
    image = pytest.importorskip("PIL.Image")
    settings.ADDRESS = address
    (tmp_path / "label.pdf").write_bytes(label(client_as(hand), box).content)

    subprocess.run(["pdftoppm", "-r", "200", "-png", "-singlefile", "label.pdf", "label"], cwd=tmp_path, check=True)
    (read,) = zxingcpp.read_barcodes(image.open(tmp_path / "label.png"))

    assert read.text == f"{address or 'http://testserver'}{box.get_absolute_url()}"


def test_without_pango_the_label_is_a_page_to_print(hand, client_as, box, no_pango):
    """The same template, with the stylesheet as a link and nothing inline the policy would refuse."""
    answer = label(client_as(hand), box)

    page = answer.content.decode()
    assert answer["Content-Type"].startswith("text/html")
    for told in (box.code, "Larkspur: All parts are poisonous.", "paper.css", "data:image/svg+xml"):
        assert told in page
    assert "style=" not in page and "<style" not in page


def test_an_empty_box_has_a_label_too(hand, client_as, no_pango):
    """It is labelled before it is filled."""
    assert "Empty" in label(client_as(hand), BoxFactory()).content.decode()


@needs_pdf
def test_fonts_and_stylesheet_are_read_once():
    """Papers share one font configuration."""
    assert paper._fonts_and_css()[0] is paper._fonts_and_css()[0]


def test_a_machine_without_pango_is_noticed(monkeypatch):
    """WeasyPrint that cannot load is None, not a fault."""
    monkeypatch.setitem(__import__("sys").modules, "weasyprint", None)

    assert paper.pdf_maker.__wrapped__() is None
