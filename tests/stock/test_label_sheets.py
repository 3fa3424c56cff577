"""Sheets of labels: chosen on the page, read back from the printed picture."""

import io
import shutil
import subprocess

import pypdf
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from ledger.facts import paper
from ledger.stock.forms.labels import SHEETS
from tests.factories.drying import VarietyFactory
from tests.factories.stock import BoxFactory, LineFactory, batch_of

needs_pdf = pytest.mark.skipif(paper.pdf_maker() is None, reason="no Pango")


@pytest.fixture
def boxes(owner):
    """Five boxes of a poisonous species on one shelf, one on another."""
    variety = VarietyFactory(species__name="Larkspur", species__caution="All parts are poisonous.", name="Tall", colour="violet")
    boxes = [BoxFactory(shelf="North 2") for _ in range(5)]
    for at, box in enumerate(boxes):
        batch_of(LineFactory(variety=variety, stems=10 + at), 12, box=box)
    return [*boxes, BoxFactory(shelf="South 1")]


def sheets(client, boxes, **asked):
    """The answer of the page with boxes ticked."""
    return client.get(reverse("stock:labels"), {"boxes": [box.pk for box in boxes], "first": 1, **asked})


def read_back(content, folder):
    """What the codes on every page say."""
    zxingcpp, image = pytest.importorskip("zxingcpp"), pytest.importorskip("PIL.Image")
    (folder / "labels.pdf").write_bytes(content)
    subprocess.run(["pdftoppm", "-r", "200", "-png", "labels.pdf", "page"], cwd=folder, check=True)
    return [[one.text for one in zxingcpp.read_barcodes(image.open(page))] for page in sorted(folder.glob("page*.png"))]


@needs_pdf
@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="no poppler")
@pytest.mark.parametrize("size", list(SHEETS))
def test_every_size_is_read_by_a_reader(hand, client_as, boxes, size, tmp_path):
    """Each box's address once, on as many sheets as they need, the caution on every label of a poisonous one."""
    answer = sheets(client_as(hand), boxes, size=size)
    per_sheet, reader = SHEETS[size][1].count, pypdf.PdfReader(io.BytesIO(answer.content))
    read = read_back(answer.content, tmp_path)

    assert len(reader.pages) == len(read) == -(-len(boxes) // per_sheet)
    assert sorted(text for page in read for text in page) == sorted(f"http://testserver{box.get_absolute_url()}" for box in boxes)
    text = " ".join(" ".join(page.extract_text().split()) for page in reader.pages)
    assert text.count("All parts are poisonous.") == 5
    assert all(box.code in text for box in boxes)


@needs_pdf
def test_nothing_of_a_small_label_runs_onto_the_next(hand, client_as, owner):
    """A long caution and a long name on 57 x 32 mm: every page begins with its own box's id."""
    caution = "Asthma and nettle rash are recorded in people who handle dried sea lavenders much."
    variety = VarietyFactory(species__name="Statice", species__caution=caution, name="Deep blue of the old walled garden")
    boxes = [BoxFactory(shelf=f"S{at}") for at in range(3)]
    for at, box in enumerate(boxes):
        batch_of(LineFactory(variety=variety, stems=10 + at), 34, box=box)
    pages = pypdf.PdfReader(io.BytesIO(sheets(client_as(hand), boxes, size="one_57_32").content)).pages

    assert [page.extract_text().split()[0] for page in pages] == [box.code for box in boxes]


@needs_pdf
def test_a_page_is_as_large_as_the_sheet(hand, client_as, boxes):
    """A4 is 210 x 297 mm, a roll's label as large as itself."""
    for size, wide, high in (("a4_3_7", 210, 297), ("one_57_32", 57, 32)):
        box = pypdf.PdfReader(io.BytesIO(sheets(client_as(hand), boxes[:1], size=size).content)).pages[0].mediabox
        assert (round(float(box.width) * 25.4 / 72), round(float(box.height) * 25.4 / 72)) == (wide, high)


@needs_pdf
def test_a_sheet_begun_and_a_size_of_ones_own(hand, client_as, boxes):
    """From the fourth of four places: one on the first sheet, four on the next; the size is kept for the single label."""
    client = client_as(hand)
    own = {"wide": "120", "high": "120", "columns": 2, "rows": 2, "label_wide": "58.5", "label_high": "58.5"}
    answer = sheets(client, boxes[:5], size="own", **{**own, "first": 4})
    single = pypdf.PdfReader(io.BytesIO(client.get(reverse("stock:label", args=[boxes[0].pk])).content)).pages

    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(answer.content)).pages]
    assert [sum(box.code in page for box in boxes) for page in pages] == [1, 4]
    assert len(single) == 1 and round(float(single[0].mediabox.width) * 25.4 / 72) == 120


@needs_pdf
def test_two_batches_of_one_line_are_counted_together(hand, client_as, owner):
    """Twelve and seven of one line and season are nineteen on the label."""
    line, box = LineFactory(stems=10), BoxFactory()
    for made in (12, 7):
        batch_of(line, made, box=box)
    text = pypdf.PdfReader(io.BytesIO(sheets(client_as(hand), [box], size="a4_2_4").content)).pages[0].extract_text()

    assert "19 ×" in text and "12 ×" not in text


def test_the_page_offers_a_shelf_ticked(hand, client_as, boxes):
    """One shelf's boxes, all ticked; without a shelf every box, none ticked."""
    page = client_as(hand).get(reverse("stock:labels"), {"shelf": "North 2"}).content.decode()
    every = client_as(hand).get(reverse("stock:labels")).content.decode()

    assert page.count('name="boxes"') == page.count(" checked") == 5
    assert every.count('name="boxes"') == 6 and " checked" not in every


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        ({"size": "a4_3_7", "first": 22}, "A sheet holds 21 labels."),
        ({"size": "own", "wide": 50, "high": 50, "columns": 2, "rows": 1, "label_wide": 40, "label_high": 40}, "do not fit"),
        ({"size": "own"}, "do not fit"),
    ],
)
def test_what_cannot_be_printed_is_said(hand, client_as, boxes, asked, told):
    """No such place, labels wider than the sheet, a size of one's own left empty; what was ticked stays ticked."""
    answer = sheets(client_as(hand), boxes, **asked)

    assert answer.status_code == 422 and told in answer.content.decode()
    assert answer.content.decode().count(" checked") == 6


def test_no_box_ticked_is_said(hand, client_as, boxes):
    """Nothing to print."""
    answer = sheets(client_as(hand), [], size="a4_3_7")
    assert answer.status_code == 422 and "Tick the boxes" in answer.content.decode()


def test_a_sheet_of_many_asks_no_more_than_one_of_two(owner, client_as, django_assert_num_queries, monkeypatch):
    """However many labels: as many statements as for two, where the same lies in them."""
    monkeypatch.setattr(paper, "pdf_maker", lambda: None)
    line, boxes, client = LineFactory(), [BoxFactory() for _ in range(5)], client_as(owner)
    for box in boxes:
        batch_of(line, 2, box=box)
    with CaptureQueriesContext(connection) as of_two:
        assert sheets(client, boxes[:2], size="a4_3_8").status_code == 200

    with django_assert_num_queries(len(of_two)):
        answer = sheets(client, boxes, size="a4_3_8")
    assert all(box.code in answer.content.decode() for box in boxes)
