"""Prices from terms, worked by hand to the minor unit."""

from datetime import date

import pytest

from ledger.costing.queries import cost_sheet
from ledger.facts.actions import set_tax_rate, set_tax_status
from ledger.facts.models import Amendment, User
from ledger.pricing.actions import add_way, change_way, set_price, set_terms
from ledger.pricing.models import Way
from ledger.pricing.queries import terms_on
from ledger.pricing.queries.proposals import margin_at, proposals
from ledger.pricing.queries.words import terms_in_words
from ledger.reckoning.sharing import MILLION
from ledger.stock.actions import Output, make_run
from tests.factories.pricing import StallFactory, TermsFactory, TradeFactory
from tests.factories.stock import LineFactory
from tests.published.records import MADE, YEAR_END, dried, hung
from tests.refusals import refused
from tests.sales.forms import fill, shown

ON = date(2024, 1, 1)
SHELF = 250 * MILLION


@pytest.fixture
def taxed(owner: User) -> None:
    """Registered at 20 %."""
    set_tax_status(by=owner, on=ON, status="registered", number="XX 000")
    set_tax_rate(by=owner, on=ON, rate_bp=2000)


def line_at(owner: User, cost: str, *, bunches: int = 10) -> object:
    """A line of so many bunches of ten, on which a printed amount was spent and nothing else."""
    hanging, line = hung(bunches * 10, cost), LineFactory(stems=10)
    dried(hanging, sound=bunches * 10)
    make_run(by=owner, on=MADE, inputs=[(hanging, bunches * 10)], outputs=[Output(line, bunches)])
    return line


def test_a_price_with_fees_on_takings_with_tax(owner: User, taxed: None) -> None:
    """2.50 over 1 - 0.30 - (0.02 + 0.10) x 1.20 is 4.4964 net, 5.3957 with tax, 5.50 at a .50 ending.

    The day's 30.00 are a tenth of its usual 300.00, so every price bears a tenth of itself: 0.55. 5.50 holds
    0.92 of tax, net 4.58; fees are 0.11, all costs 3.16; 1.42 / 4.58 = 31.00 %. Today's price does not sway it.
    """
    line, way = line_at(owner, "25.00"), add_way(by=owner, name="Stall", kind="stall")
    set_terms(
        by=owner, way=way, on=ON, margin_bp=3000, fee_bp=200, fixed_day=3000, usual_takings=30000, ending=50, ending_every=100
    )
    set_price(by=owner, way=way, line=line, on=MADE, amount=500)
    (one,) = proposals(cost_sheet(line, YEAR_END), YEAR_END)
    assert (one.price, one.full_cost, one.margin_bp) == (550, 316 * MILLION, 3100)


def test_house_endings_at_every_half(owner: User) -> None:
    """2.50 / 0.70 is 3.5714: up to 4.00 at .00 of every 0.50; 3.75 at .25 of every 0.50; 3.58 as it comes."""
    line = line_at(owner, "25.00")
    for name, ending, every in (("A", 0, 50), ("B", 25, 50), ("C", None, None)):
        set_terms(by=owner, way=add_way(by=owner, name=name), on=ON, margin_bp=3000, ending=ending, ending_every=every)
    assert [one.price for one in proposals(cost_sheet(line, YEAR_END), YEAR_END)] == [400, 375, 358]


def test_a_pitch_is_shared_over_a_days_usual_takings(owner: User) -> None:
    """36.00 of pitch and 6:00 hours at 11.00 are 102.00 over 340.00: a bunch at 8.50 bears 2.55.

    Card fee 1.75 % on 60 %: 0.08925. 8.50 - 2.50 - 2.55 - 0.08925 = 3.36075, of 8.50 39.54 %.
    """
    terms = TermsFactory(
        fee_bp=175, card_share_bp=6000, fixed_day=3600, day_minutes=360, hour_cost=1100, usual_takings=34000
    )
    assert margin_at(850, SHELF, terms.way, terms, 0) == 3954
    assert terms_in_words(terms).day == 10200


def test_a_parcel_is_shared_over_what_is_in_it(owner: User) -> None:
    """Box 1.40 and carriage 3.60 over 25.00: 9.00 bears 1.80, and 0.1575 of card fee.

    Net of 20 % tax 7.50; 7.50 - 2.50 - 1.80 - 0.1575 = 3.0425, of 7.50 40.57 %.
    """
    terms = TermsFactory(fee_bp=175, fixed_parcel=140, carriage=360, usual_parcel=2500)
    assert margin_at(900, SHELF, terms.way, terms, 2000) == 4057


def test_trade_waits_thirty_days_for_its_money(owner: User) -> None:
    """8 % a year for 30 days is 0.66 %, bad debts 0.50 %: 1.16 % of 7.20 with tax is 0.08352; delivery 12.00 of 240.00, 0.36.

    6.00 net - 2.50 - 0.36 - 0.08352 = 3.05648, of 6.00 50.94 %.
    """
    way = TradeFactory()
    terms = TermsFactory(way=way, bad_debt_bp=50, days_to_wait=30, interest_bp=800, carriage=1200, usual_parcel=24000)
    assert margin_at(600, SHELF, way, terms, 2000) == 5094
    assert terms_in_words(terms).fee_bp == 116


def test_terms_that_cannot_be_are_refused(owner: User) -> None:
    """Hours without takings, a parcel without worth, an ending beyond its step or beyond one pound."""
    way = StallFactory()
    for code, given in (
        ("no_takings", {"day_minutes": 60, "hour_cost": 1100}), ("no_parcel", {"carriage": 360}),
        ("ending", {"ending": 50, "ending_every": 50}), ("ending", {"ending": 100}),
    ):
        with refused(code):
            set_terms(by=owner, way=way, on=ON, **given)


def test_a_way_says_its_terms_in_words(owner: User) -> None:
    """Every cost is a sentence; nothing is said of what it does not cost."""
    terms = TermsFactory(fee_bp=175, card_share_bp=6000, pitch_bp=1000, ending=50)
    assert terms_in_words(terms).says == [
        "Card fee or commission 1.75 % on 60 % of takings.", "Pitch by takings: 10 %.",
        "Margin wanted: 30 % of the price without tax.", "Prices end in 0.50 of every 1.00.",
    ]
    full = TermsFactory(
        fixed_day=2400, day_minutes=345, hour_cost=1200, usual_takings=38000, fixed_parcel=140, carriage=180, usual_parcel=2700,
        days_to_wait=30, interest_bp=800, bad_debt_bp=50,
    )
    said = " ".join(terms_in_words(full).says)
    assert "5:45 hours at 12.00 an hour: 69.00 a day" in said and "30 days until the money comes, which costs 8 %" in said
    assert "Prices as they come out." in said and "27.00" in said and "bad debts: 0.5 %" in said


@pytest.mark.parametrize(
    ("kind", "asks", "not_for"),
    [("stall", "day_minutes pitch_bp", "carriage interest_bp"), ("gate", "fee_bp", "fixed_day carriage"),
     ("post", "fixed_parcel carriage", "pitch_bp interest_bp"), ("trade", "carriage bad_debt_bp", "fee_bp fixed_day"),
     ("made_up", "fixed_day carriage interest_bp", "")],
)
def test_the_form_asks_only_what_the_kind_can_have(kind: str, asks: str, not_for: str, owner: User, client_as) -> None:
    """A stall is not asked for carriage, nor trade for a card fee."""
    way = add_way(by=owner, name="One", kind=kind, trade=kind == "trade")
    form = client_as(owner).get(f"/pricing/ways/{way.pk}/terms/").context["form"]
    assert set(asks.split()) <= set(form.fields) and not set(not_for.split()) & set(form.fields)


def test_a_cost_in_force_is_never_lost_by_pressing(owner: User, client_as) -> None:
    """A trade way with a pitch of 18.00 and a card fee keeps both, pressed unchanged; a parcel's box is not asked for."""
    way = add_way(by=owner, name="Trade", kind="trade", trade=True)
    set_terms(by=owner, way=way, on=ON, fixed_day=1800, usual_takings=30000, fee_bp=175, card_share_bp=6000)
    client, url = client_as(owner), f"/pricing/ways/{way.pk}/terms/"
    assert "fixed_parcel" not in client.get(url).context["form"].fields

    fill(client, url, on="2024-06-01", margin_bp="35.00")
    now = terms_on(way, date(2024, 6, 1))
    assert now is not None and (now.fixed_day, now.usual_takings, now.fee_bp, now.card_share_bp) == (1800, 30000, 175, 6000)
    assert now.margin_bp == 3500

    fill(client, url, on="2024-07-01", fixed_day="", usual_takings="")
    assert "fixed_day" not in client.get(url).context["form"].fields


def test_hours_are_typed_as_hours_and_minutes(owner: User, client_as) -> None:
    """5:45 is 345 minutes and is shown as it was typed; what is left empty costs nothing."""
    way = add_way(by=owner, name="Stall", kind="stall")
    client, url = client_as(owner), f"/pricing/ways/{way.pk}/terms/"
    fill(client, url, on="2024-01-01", day_minutes="5:45", hour_cost="12", usual_takings="380", fee_bp="", card_share_bp="")
    terms = terms_on(way, ON)
    assert terms is not None and (terms.day_minutes, terms.hour_cost, terms.fee_bp, terms.card_share_bp) == (345, 1200, 0, 10_000)
    assert shown(client, url)["day_minutes"] == "5:45"


def test_a_way_changes_its_kind_with_a_history(owner: User, client_as) -> None:
    """A gate becomes a stall; never trade, for what was sold by it was not on order."""
    way = add_way(by=owner, name="Gate")
    change_way(by=owner, way=way, name="Gate", kind="stall", seen={"kind": "gate"})
    assert (Way.objects.get().kind, Amendment.objects.get().before) == ("stall", "gate")
    for other, kind in ((way, "trade"), (TradeFactory(), "post")):
        with refused("kind"):
            change_way(by=owner, way=other, name="Other", kind=kind)
    fill(client_as(owner), f"/pricing/ways/{way.pk}/change/", name="Green", kind="post")
    assert "stall" in client_as(owner).get(way.get_absolute_url()).content.decode()
    with refused("kind"):
        add_way(by=owner, name="Mixed", kind="trade", trade=False)
