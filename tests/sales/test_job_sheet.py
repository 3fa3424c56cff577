"""What the pieces of a job are to cost and to leave; every figure worked by hand."""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from ledger.daybook.actions import record_purchase
from ledger.facts.actions import set_tax_rate, set_tax_status
from ledger.facts.models import CostKind, User
from ledger.pricing.models import Way
from ledger.reckoning.sharing import MILLION
from ledger.sales.actions import Part, drop_piece, plan_hire
from ledger.sales.models import Job
from ledger.sales.queries.job_sheet import PieceSheet, margin_sheet, piece_sheet
from ledger.stock.actions import Output, buy_in
from ledger.stock.models import Line
from tests.factories.daybook import bought
from tests.factories.growing import ExpectationFactory, PlantingFactory
from tests.factories.jobs import AGREED, HELD, OVER, JobFactory, PieceFactory
from tests.factories.made_up import MaterialFactory
from tests.factories.pricing import StallFactory, TermsFactory, TradeFactory
from tests.factories.stock import LineFactory
from tests.factories.workshops import HireItemFactory

START, ON = date(2024, 1, 1), date(2024, 8, 30)


def bought_line(owner: User, each: int, made: int = 30, **given: object) -> Line:
    """A line bought in at so much a unit."""
    line = LineFactory(**given)
    buy_in(
        by=owner, on=date(2024, 8, 1), supplier="Sorrel Farm", outputs=[Output(line, made)], net=each * made, tax=0,
        kind=CostKind.objects.get(code="plants"),
    )
    return line


def terms_of(way: Way) -> Way:
    """Thirty per cent wanted, two per cent of takings in fees, an hour at 15.00."""
    TermsFactory(way=way, on=START, margin_bp=3000, fee_bp=200, hour_cost=1500)
    return way


def job_by(way: Way) -> Job:
    """A job quoted by a way."""
    return JobFactory(way=way)


def the_piece(job: Job, on: date = ON) -> PieceSheet:
    """Its only piece as planned."""
    return margin_sheet(job, on).pieces[0]


@pytest.fixture
def parts(owner: User) -> list[Part]:
    """Ten stems of a bunch of ten that costs 1.00, and a candle at 1.80."""
    return [Part(10, line=bought_line(owner, 100)), Part(1, bought="candle", cost=180)]


def test_a_piece_costs_its_parts_and_its_minutes(owner: User, parts: list[Part]) -> None:
    """1.00, 1.80 and an hour at 15.00: 17.80 each; two at 45.00 leave 90.00 less 35.60 less 1.80 in fees."""
    job = job_by(terms_of(StallFactory()))
    PieceFactory(job=job, quantity=2, price=4500, minutes=60, parts=parts)

    sheet = the_piece(job)

    assert [(one.what.split(",")[0][:7], one.amount) for one in sheet.parts] == [
        ("Statice", 100 * MILLION), ("candle", 180 * MILLION),
    ]
    assert (sheet.work, sheet.cost, sheet.all_cost) == (1500 * MILLION, 1780 * MILLION, 3560 * MILLION)
    assert (sheet.net, sheet.selling, sheet.left) == (9000, 180 * MILLION, 5260 * MILLION)
    assert (sheet.margin_bp, sheet.wanted_bp, sheet.proposed) == (5844, 3000, 2618)


def test_tax_is_within_prices_with_tax_and_on_top_of_net_ones(owner: User, parts: list[Part]) -> None:
    """At 20 %: 90.00 with tax are 75.00 net; 90.00 net are 108.00 to pay fees on."""
    set_tax_status(by=owner, on=START, status="registered", number="123")
    set_tax_rate(by=owner, on=START, rate_bp=2000)
    with_tax, net = job_by(terms_of(StallFactory())), job_by(terms_of(TradeFactory()))
    for job in (with_tax, net):
        PieceFactory(job=job, quantity=2, price=4500, minutes=60, parts=parts)
    gross, of_net = the_piece(with_tax), the_piece(net)
    assert (gross.net, gross.selling, gross.margin_bp) == (7500, 180 * MILLION, 5013)
    assert (of_net.net, of_net.selling, of_net.margin_bp) == (9000, 216 * MILLION, 5804)


def test_stems_cost_their_part_of_the_bunch(owner: User) -> None:
    """Three stems of a bunch of ten at 1.00: 0.30; of a line sold by the piece one whole."""
    job = job_by(StallFactory())
    cone = bought_line(owner, 70, variety=None, name="Cone", unit="piece", stems=None)
    PieceFactory(job=job, minutes=0, parts=[Part(3, line=bought_line(owner, 100)), Part(2, line=cone)])
    assert [(one.amount, one.of_stems) for one in the_piece(job).parts] == [(30 * MILLION, True), (140 * MILLION, False)]


def test_fresh_stems_and_materials_cost_what_the_book_expects(owner: User) -> None:
    """100.00 over 400 stems expected, twelve of them: 3.00. A hundred rings for 20.00: 0.20."""
    planting, ring = PlantingFactory(), MaterialFactory()
    ExpectationFactory(planting=planting, stems=400)
    for thing, amount, quantity in ((planting, 10_000, None), (ring, 2_000, 100)):
        line = bought("bill", kind="plants", net=amount, tax=0, spent_on=[(thing.cost_object, 1)], quantity=quantity)
        record_purchase(by=owner, on=date(2024, 4, 1), supplier="Seed house", lines=[line])
    job = job_by(StallFactory())
    PieceFactory(job=job, minutes=0, parts=[Part(12, variety=planting.variety), Part(1, material=ring)])

    sheet = the_piece(job)
    assert [(one.what, one.amount, one.final) for one in sheet.parts] == [
        (str(planting.variety), 300 * MILLION, False), (str(ring), 20 * MILLION, True),
    ]
    assert not sheet.final


@pytest.mark.parametrize("what", ["line", "variety", "material"])
def test_what_cannot_be_said_leaves_the_whole_unsaid(owner: User, what: str) -> None:
    """Never made, never planted, never bought: no cost, no margin, nothing proposed; never a nil."""
    thing = {"line": LineFactory, "variety": lambda: PlantingFactory().variety, "material": MaterialFactory}[what]()
    job = job_by(terms_of(StallFactory()))
    PieceFactory(job=job, parts=[Part(1, **{what: thing}), Part(1, bought="candle", cost=180)])
    sheet = margin_sheet(job, ON)
    piece = sheet.pieces[0]
    assert [one.amount for one in piece.parts] == [None, 180 * MILLION]
    assert (piece.cost, piece.all_cost, piece.left, piece.margin_bp, piece.proposed) == (None,) * 5
    assert (sheet.cost, sheet.left, sheet.margin_bp, sheet.net) == (None, None, None, 9000)


def test_without_terms_minutes_cost_nothing_and_nothing_is_proposed(owner: User, parts: list[Part]) -> None:
    """Nobody said what an hour costs nor what is wanted."""
    job = job_by(StallFactory())
    PieceFactory(job=job, quantity=1, minutes=60, parts=parts)
    sheet = margin_sheet(job, ON)
    assert (sheet.hour_cost, sheet.wanted_bp, sheet.cost, sheet.pieces[0].proposed) == (0, None, 280 * MILLION, None)


def test_a_margin_no_price_leaves_proposes_nothing(owner: User, parts: list[Part]) -> None:
    """Ninety-nine per cent wanted, two in fees."""
    way = StallFactory()
    TermsFactory(way=way, on=START, margin_bp=9900, fee_bp=200)
    assert piece_sheet(job_by(way), parts, 0, ON).proposed is None


def test_a_piece_given_away_has_no_margin(owner: User, parts: list[Part]) -> None:
    """It leaves what it costs, below nothing."""
    job = job_by(terms_of(StallFactory()))
    PieceFactory(job=job, quantity=1, price=0, minutes=0, parts=parts)
    sheet = the_piece(job)
    assert (sheet.left, sheet.margin_bp) == (-280 * MILLION, None)


def test_a_piece_not_kept_yet_is_reckoned_alike(owner: User, parts: list[Part]) -> None:
    """With a price and without one."""
    job = job_by(terms_of(StallFactory()))
    bare = piece_sheet(job, parts, 60, ON)
    assert (bare.cost, bare.proposed, bare.net, bare.selling, bare.margin_bp) == (1780 * MILLION, 2618, 0, 0, None)
    priced = piece_sheet(job, parts, 60, ON, quantity=2, price=4500, name="posy")
    assert (priced.name, priced.margin_bp) == ("posy", 5844)


def test_the_whole_adds_up_with_its_hires_and_without_what_was_dropped(owner: User, parts: list[Part]) -> None:
    """At 20 %: 0.33, 0.33 and ten jars at 1.50 are 15.66, net 13.05, shared to the penny."""
    set_tax_status(by=owner, on=START, status="registered", number="123")
    set_tax_rate(by=owner, on=START, rate_bp=2000)
    job = job_by(terms_of(StallFactory()))
    for _ in range(2):
        PieceFactory(job=job, quantity=1, price=33, minutes=0, parts=parts)
    drop_piece(by=owner, piece=PieceFactory(job=job, price=9999))
    plan_hire(by=owner, job=job, on=AGREED, item=HireItemFactory(), quantity=10, first_day=HELD, last_day=OVER)

    sheet = margin_sheet(job, ON)

    assert ([one.net for one in sheet.pieces], [one.net for one in sheet.hires], sheet.net) == ([28, 27], [1250], 1305)
    assert sheet.selling == sum(one.selling for one in (*sheet.pieces, *sheet.hires)) == 31_320_000
    assert (sheet.cost, sheet.left) == (560 * MILLION, 1305 * MILLION - 560 * MILLION - 31_320_000)
    assert sheet.final


def test_a_job_of_nothing_is_no_sum(owner: User) -> None:
    """Neither pieces nor hires: nil of everything, and no margin."""
    sheet = margin_sheet(job_by(terms_of(StallFactory())), ON)
    assert (sheet.net, sheet.cost, sheet.left, sheet.margin_bp, sheet.hour_cost) == (0, 0, 0, None, 1500)


def test_a_sheet_asks_as_much_however_many_pieces_there_are(owner: User, parts: list[Part]) -> None:
    """A fixed number of statements once the book is made."""
    job, asked = job_by(terms_of(StallFactory())), []
    for _ in range(3):
        PieceFactory(job=job, parts=[*parts, Part(1, line=bought_line(owner, 50))])
        margin_sheet(job, ON)
        with CaptureQueriesContext(connection) as queries:
            margin_sheet(Job.objects.select_related("way").get(pk=job.pk), ON)
        asked.append(len(queries))
    assert len(set(asked)) == 1
