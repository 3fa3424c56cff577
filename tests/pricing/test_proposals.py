"""A price that follows from cost, on the page and by the command."""

import io
import json
from datetime import date

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse

from ledger.costing.queries import cost_sheet
from ledger.facts import actions as facts
from ledger.pricing import actions as pricing
from ledger.pricing.queries.proposals import line_named, margin_at, proposals
from tests.thread import BUNCHED, spin_thread

ON = date(2024, 12, 31)
UNIT = 12400 / 27


def stall(owner, **terms):
    """A stall with the terms given from the day of bunching."""
    way = pricing.add_way(by=owner, name="Stall", with_tax=True)
    pricing.set_terms(by=owner, way=way, on=BUNCHED, **terms)
    return way


def proposed(line):
    """The one way's proposal."""
    (one,) = proposals(cost_sheet(line, ON), ON)
    return one


def test_price_leaves_the_wanted_margin(owner):
    """A bunch of 4.59 with a margin of 30 %: 4.59 / 0.70 = 6.5608, up to a .50 ending 7.50."""
    thread = spin_thread(owner)
    stall(owner, margin_bp=3000, ending=50)
    one = proposed(thread.line)

    assert one.price == 750
    assert one.margin_bp == round((1 - UNIT / 750) * 10_000)


def test_fees_and_tax_are_in_the_price(owner):
    """Registered at 20 %, card fee 2 % of takings: net = cost / (1 - 0.30 - 0.02 x 1.20), then tax."""
    facts.set_tax_status(by=owner, on=date(2024, 1, 1), status="registered")
    facts.set_tax_rate(by=owner, on=date(2024, 1, 1), rate_bp=2000)
    thread = spin_thread(owner)
    stall(owner, margin_bp=3000, fee_bp=200)
    one = proposed(thread.line)

    assert one.price == -(-UNIT * 1.2 // (1 - 0.30 - 0.024))
    assert 3000 <= one.margin_bp < 3020


def test_pitch_is_shared_by_sales_value_at_each_price(owner):
    """A tenth of every price goes to the pitch: 4.59 / 0.90 is 5.11 and bears 0.51; today's 8.00 bears 0.80."""
    thread = spin_thread(owner)
    way = stall(owner, margin_bp=0, fixed_day=3000, usual_takings=30000)
    pricing.set_price(by=owner, way=way, line=thread.line, on=BUNCHED, amount=800)
    one = proposed(thread.line)

    assert one.price == 511
    assert one.full_cost / 10**6 == pytest.approx(UNIT + 51.1, abs=0.01)
    assert one.present_margin_bp == pytest.approx((1 - (UNIT + 80) / 800) * 10_000, abs=1)


@pytest.mark.parametrize("present", [None, 300, 5000])
@pytest.mark.parametrize("rate", [0, 2000])
def test_a_proposal_leaves_the_wanted_margin_whatever_the_price_now(owner, present, rate):
    """With fees, a day and a parcel to pay, and tax or none, what is proposed never falls short of the margin wanted."""
    if rate:
        facts.set_tax_status(by=owner, on=date(2024, 1, 1), status="registered")
        facts.set_tax_rate(by=owner, on=date(2024, 1, 1), rate_bp=rate)
    thread = spin_thread(owner)
    for with_tax in (True, False):
        way = pricing.add_way(by=owner, name=f"Way {with_tax}", with_tax=with_tax)
        costs = {"fee_bp": 175, "fixed_day": 2300, "usual_takings": 19000, "carriage": 350, "usual_parcel": 4100}
        terms = pricing.set_terms(by=owner, way=way, on=BUNCHED, margin_bp=2500, **costs)
        if present:
            pricing.set_price(by=owner, way=way, line=thread.line, on=BUNCHED, amount=present)
        sheet = cost_sheet(thread.line, ON)
        one = next(each for each in proposals(sheet, ON) if each.way == way)
        assert one.margin_bp == margin_at(one.price, sheet.shelf_cost, way, terms, rate) >= 2500


def test_margin_that_no_price_leaves_is_refused_in_words(owner):
    """A margin of 99 % with fees of 5 % leaves no price, and the page says why."""
    thread = spin_thread(owner)
    stall(owner, margin_bp=9900, fee_bp=500)
    one = proposed(thread.line)

    assert (one.price, one.full_cost) == (None, None)
    assert "no price leaves that margin" in one.why_not


def test_page_and_paper_show_the_sheet(owner, client_as):
    """The cost sheet's page adds up, opens each batch and is paper too."""
    thread = spin_thread(owner)
    stall(owner, margin_bp=3000, ending=50)
    client = client_as(owner)
    page = client.get(reverse("pricing:cost_sheet", args=[thread.line.pk]))
    paper = client.get(reverse("pricing:cost_sheet_paper", args=[thread.line.pk]))

    assert sum(layer.shelf for layer in page.context["layers"]) == page.context["shelf_cost"] == 459
    assert reverse("costing:node", args=["batch", thread.batch.pk]) in page.content.decode()
    assert paper.status_code == 200


def test_line_without_a_batch_has_no_cost(owner, client_as):
    """Before its first batch a line's sheet claims no cost."""
    thread = spin_thread(owner)
    page = client_as(owner).get(reverse("pricing:cost_sheet", args=[thread.line.pk]), {"on": "2024-07-01"})

    assert "there is no cost to show" in page.content.decode()


def test_sellers_see_no_costs(seller, owner, client_as):
    """A seller sets prices and opens no cost sheet."""
    thread = spin_thread(owner)

    assert client_as(seller).get(reverse("pricing:cost_sheet", args=[thread.line.pk])).status_code == 403


def test_command_answers_by_number_and_by_name(owner):
    """`cost_sheet` takes a line's number or its name, and refuses what is no line."""
    thread = spin_thread(owner)
    out = io.StringIO()
    call_command("cost_sheet", str(thread.line), "--on", "2024-12-31", "--json", stdout=out)

    assert json.loads(out.getvalue())["stock_cost"] == "4.59"
    assert line_named(str(thread.line.pk)) == thread.line
    with pytest.raises(CommandError, match="No line is called"):
        call_command("cost_sheet", "Dahlia")
    with pytest.raises(CommandError, match="No batch"):
        call_command("cost_sheet", str(thread.line.pk), "--on", "2024-07-01")
