"""The margin sheet of a job and the margins by job, worked by hand to the minor unit."""

import pytest
from django.urls import reverse

from ledger.books.queries.job_margin import job_margin
from ledger.books.queries.jobs import actual
from ledger.books.queries.margins import margins
from ledger.books.queries.market_days import market_days
from ledger.costing.actions import plan_overheads
from ledger.growing.models import Lot
from ledger.reckoning.sharing import to_minor
from ledger.sales import actions as sales
from tests.books.market import ASKED, SEPTEMBER, market
from tests.books.wedding import (
    ASKED_ABOUT,
    BACK,
    BILLED,
    DONE,
    ON,
    TAKEN,
    Grown,
    asked_about,
    grown,
    spend_on,
    take,
    wedding,
    workshop,
)
from tests.factories.sales import CustomerFactory

AUTUMN = (TAKEN, ON)


def account(one):
    """Net, goods, paid work, own hours, all else, fees, what is left."""
    return one.net, one.shelf, one.work, one.own_work, one.other, one.fees, one.left


def figures(row):
    """Net, cost to the shelf, selling, fees, what is left, what was planned."""
    return row.net, row.shelf, row.selling, row.fees, row.actual, row.planned


def test_a_wedding_by_hand(owner):
    """Net 141.67; six bunches 27.56 and 40 stems 20.00; an hour 12.00, ribbon 10.00, 2 % of 170.00: 68.71 are left."""
    made = grown(owner)
    of = actual(wedding(owner, made), ON)
    assert account(of.account) == (14167, 4756, 1200, 0, 1000, 340, 6871)
    assert (of.account.left_bp, of.minutes, of.final) == (4850, 60, True)
    assert [(one.taken, one.back, to_minor(one.cost)) for one in of.gone] == [(9, 3, 2756), (40, 0, 2000)]
    assert sorted((one.on, one.amount) for one in of.spent) == [(DONE, 1000), (DONE, 1200)]


def test_margins_by_job_say_the_same(owner):
    """The wedding, the workshop and nothing else; both together as by way of selling."""
    made = grown(owner)
    job, one = wedding(owner, made), workshop(owner, made)
    found = margins("job", *AUTUMN, ON)
    rows = {row.group: figures(row) for row in found.rows}

    assert rows == {
        ("workshop", one.pk): (16250, 2756, 2200, 390, 10904, 4875), ("job", job.pk): (14167, 4755, 2200, 340, 6872, 4250)
    }
    assert {figures(margins(by, *AUTUMN, ON).total) for by in ("job", "way", "line", "customer", "market_day")} == {
        figures(found.total)
    }


@pytest.mark.parametrize("kind", ["job", "hire", "workshop"])
def test_by_what_was_sold_jobs_hire_and_workshops_are_rows_of_their_own(owner, kind):
    """122.50, 19.17 and 162.50 net."""
    made = grown(owner)
    wedding(owner, made)
    workshop(owner, made)
    net = {row.group: row.net for row in margins("line", *AUTUMN, ON).rows}
    assert net == {("job", 0): 12250, ("hire", 0): 1917, ("workshop", 0): 16250}
    assert margins("line", *AUTUMN, ON, only=(kind, 0)).total.net == net[kind, 0]


def test_planned_beside_what_it_came_to_by_piece(owner):
    """Strawflower at 124.00 the 270 stems: 24 for buttonholes 11.02, 20 for the bouquet 9.19 beside 10.00 of statice.

    Taken was more: of 27.56 the buttonholes bear 24 of 44 stems, 15.03; the bouquet 12.53 and all 20.00 of the statice. Of 110
    minutes planned they planned 40: 8.00 at the way's hour, 4.36 of the 12.00 that were paid; the ribbon is the bouquet's.
    """
    made = grown(owner)
    found = job_margin(wedding(owner, made), ON)

    assert [(row.name.split(" for ")[0], row.quantity) for row in found.pieces] == [
        ("Buttonhole", 8), ("Bouquet", 1), ("Hire of Stone jar", 2), ("broken or lost", 1)
    ]
    assert [account(row.planned) for row in found.pieces[:3]] == [
        (4333, 1102, 800, 0, 0, 104, 2327), (7917, 1919, 1400, 0, 400, 190, 4008), (1250, 0, 0, 0, 0, 30, 1220)
    ]
    assert [account(row.came_out) for row in found.pieces] == [
        (4333, 1503, 436, 0, 0, 104, 2290), (7917, 3253, 764, 0, 1000, 190, 2710), (1250, 0, 0, 0, 0, 30, 1220),
        (667, 0, 0, 0, 0, 16, 651),
    ]
    assert account(found.planned) == (13500, 3021, 2200, 0, 400, 324, 7555)
    came_out = [account(row.came_out) for row in found.pieces]
    assert tuple(map(sum, zip(*came_out, strict=True))) == account(found.of.account)


def test_planned_beside_what_was_taken(owner):
    """44 stems are five bunches, planned at 20.21: nine were taken and three came back; 20 fresh stems planned, 40 taken."""
    found = job_margin(wedding(owner, grown(owner)), ON)
    assert [(row.planned, row.taken, row.back, row.planned_cost, row.cost) for row in found.things] == [
        (5, 9, 3, 2021, 2756), (20, 40, 0, 1000, 2000)
    ]
    assert found.planned_minutes == 110


def test_it_is_planned_by_the_costs_of_its_own_day_where_they_were_known(owner):
    """On its day a bunch cost 3.76: the bed was not yet cleared, short of the stems expected of it."""
    made = grown(owner)
    job = asked_about(owner, made)
    sales.change_piece(by=owner, piece=job.pieces.get(name="Bouquet"), on=ASKED_ABOUT, name="Bouquet", quantity=1, price=9500)
    sales.do_job(by=owner, job=job, on=DONE)

    found = job_margin(job, ON)

    assert (found.sheet.on, found.planned.shelf) == (DONE, 903)
    assert [row.taken for row in found.things] == [0]


def test_a_job_of_hire_alone_has_no_pieces(owner):
    """Two jars at 7.50: 12.50 net, nothing taken; ribbon and an hour are shared by net, here by one row."""
    made = grown(owner)
    job = asked_about(owner, made)
    for piece in job.pieces.standing():
        sales.drop_piece(by=owner, piece=piece)
    spend_on(owner, made, job)
    sales.do_job(by=owner, job=job, on=DONE)
    found = job_margin(job, ON)
    assert [(line.kind, line.net) for line in found.of.lines] == [("hire", 1250)]
    assert [account(row.came_out) for row in found.pieces] == [(1250, 0, 1200, 0, 1000, 30, -980)]
    assert (found.things, found.planned_minutes) == ([], 0)


def test_nothing_planned_and_nothing_charged_is_an_empty_sheet(owner):
    """A job just asked about."""
    made = grown(owner)
    job = sales.open_job(
        by=owner, on=ASKED_ABOUT, name="Elm", kind="event", customer=CustomerFactory(), way=made.way, held_on=DONE
    )
    found = job_margin(job, ON)
    assert (found.pieces, found.things, account(found.planned)) == ([], [], (0, 0, 0, 0, 0, 0, 0))


def test_before_it_is_done_what_was_taken_stands_beside_the_plan(owner):
    """Two bunches taken cost 9.19; nothing is income yet, so no piece has come to anything."""
    made = grown(owner)
    job = asked_about(owner, made)
    take(owner, made, job, bunches=2)
    found = job_margin(job, ON)
    assert (found.of.lines, found.of.account.shelf, found.of.net) == ([], 919, 0)
    assert [row.came_out for row in found.pieces] == [None, None, None]


def test_a_cancelled_job_has_its_kept_deposit_and_what_did_not_come_back(owner):
    """33.33 net of 40.00 kept, less two bunches at 9.19 and 0.80 of fees."""
    made = grown(owner)
    job = asked_about(owner, made)
    take(owner, made, job, bunches=2)
    sales.cancel_job(by=owner, job=job, on=BILLED, kept=4000, taxed=True)
    assert account(job_margin(job, ON).of.account) == (3333, 919, 0, 0, 0, 80, 2334)
    assert figures(margins("job", *AUTUMN, ON).total)[:5] == (3333, 919, 0, 80, 2334)


def test_a_cost_that_is_not_known_yet_is_no_cost_of_nothing(owner):
    """The statice still grows without an expectation: what the wedding left cannot be said yet, nor its row in the margins."""
    found = job_margin(wedding(owner, grown(owner, cleared=False)), BACK)
    assert (found.of.account.shelf, found.of.account.left, found.planned.left) == (None, None, None)
    assert [row.came_out.left for row in found.pieces[:2]] == [None, None]
    assert [row.cost for row in found.things] == [None, None]
    assert margins("job", *AUTUMN, BACK).total.not_yet == 12250


def test_overheads_come_on_top_storage_only_on_what_was_boxed(owner):
    """Of 27.56 boxed 20 % and of 20.00 fresh 15 % more: 56.07."""
    job = wedding(owner, grown(owner))
    plan_overheads(
        by=owner, on=ON, year=2024, overheads=10000, usual_idle_and_luck=5000, usual_base=100000, storage=5000
    )
    of = actual(job, ON)
    assert of.account.shelf == 5607
    assert sum(one.cost for one in of.gone) == of.costs.shelf


def test_a_workshop_by_hand(owner):
    """162.50 net, six bunches 27.56, an hour and ribbon 22.00, 2 % of 195.00 in fees: 109.04 are left."""
    of = actual(workshop(owner, grown(owner)), ON)
    assert account(of.account) == (16250, 2756, 1200, 0, 1000, 390, 10904)
    assert [(one.taken, one.cost) for one in of.things] == [(6, 2756)]


def test_market_days_know_nothing_of_jobs(owner):
    """The same goods sold at a wedding and a workshop leave the market's day as it was."""
    made = market(owner)
    before = market_days(*SEPTEMBER, ASKED)
    work = asked_about(owner, Grown(made.thread, Lot.objects.get(planting__variety__species__name="Statice"), made.way))
    sales.take_bunches_for(by=owner, work=work, on=DONE, line=made.thread.line, bunches=3)
    sales.do_job(by=owner, job=work, on=DONE)
    assert market_days(*SEPTEMBER, ASKED) == before


@pytest.mark.parametrize("stands", ["asked", "done", "cancelled"])
def test_the_sheet_as_page_and_paper(owner, client_as, stands):
    """Whatever became of the job; the deposit with its caution."""
    made, client = grown(owner), client_as(owner)
    job = wedding(owner, made) if stands == "done" else asked_about(owner, made)
    if stands == "cancelled":
        sales.cancel_job(by=owner, job=job, on=BILLED, kept=4000)

    page = client.get(reverse("books:job_margin", args=[job.pk])).content.decode()

    assert all(word in page for word in ("Buttonhole", "Paid ahead", "qualified accountant", "Its way of selling wants 30"))
    assert ("141.67" in page, "not over" in page) == (stands == "done", stands == "asked")
    assert client.get(reverse("books:job_margin_paper", args=[job.pk])).status_code == 200


def test_a_workshops_sheet_and_who_may_see_it(owner, seller, client_as):
    """162.50 and 109.04 on page and paper; a seller sees no costs."""
    one = workshop(owner, grown(owner))
    for name in ("workshop_margin", "workshop_margin_paper"):
        address = reverse(f"books:{name}", args=[one.pk])
        assert client_as(owner).get(address).status_code == 200
        assert client_as(seller).get(address).status_code == 403
    page = client_as(owner).get(reverse("books:workshop_margin", args=[one.pk])).content.decode()
    assert all(word in page for word in ("162.50", "109.04", "27.56")) and "Planned" not in page.split("<h2>", 1)[1]


def test_margins_by_job_lead_to_their_sales(owner, client_as):
    """From the row of a job to its lines, and from what was sold for none to the rest."""
    made, client = grown(owner), client_as(owner)
    job = wedding(owner, made)
    asked = {"first": "2024-09-01", "last": "2024-12-31", "by": "job"}
    page = client.get(reverse("books:margins"), asked).content.decode()
    rows = client.get(reverse("books:margin_sales"), {**asked, "of": f"job:{job.pk}"}).context["rows"]

    assert str(job) in page and "job and workshop" in page
    assert [line.of.kind for line, *_row in rows] == ["job", "hire", "hire"]


def test_a_sheet_leads_to_the_margins_of_its_year(owner, client_as):
    """Of 2024, by job; a stretch half said, or not at all, is filled with the usual one, never refused."""
    client, job = client_as(owner), wedding(owner, grown(owner))
    links = client.get(reverse("books:job_margin", args=[job.pk])).context["links"]
    [url] = [link.url for link in links if "by=job" in link.url]

    assert url == f"{reverse('books:margins')}?first=2024-01-01&last=2024-12-31&by=job"
    assert str(job) in client.get(url).content.decode()
    for name, asked in (("margins", {"by": "job"}), ("margins", {"by": "job", "first": "2024-01-01"}), ("market_days", {"x": 1})):
        assert not client.get(reverse(f"books:{name}"), asked).context["form"].errors
