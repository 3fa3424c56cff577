"""What florists can have: free and coming kept apart, at the prices that hold for them."""

import csv
import io
from datetime import date

import pytest
from django.urls import reverse
from django.utils.formats import date_format
from pypdf import PdfReader

from ledger.drying import actions as drying
from ledger.growing import actions as growing
from ledger.pricing import actions as pricing
from ledger.sales import actions as sales
from ledger.sales.queries.availability import availability
from ledger.stock import actions as stock
from tests.factories.drying import HangingFactory, LotFactory, PlantingFactory, SpeciesFactory, TakingDownFactory, VarietyFactory
from tests.factories.pricing import TradeFactory
from tests.factories.stock import BoxFactory, LineFactory, batch_of

ON = date(2024, 8, 2)


def priced(line, *, amount=450, way=None, **given):
    """A trade way by which the line has a price from the first day of the year."""
    way = way or TradeFactory()
    pricing.set_price(by=given.pop("by"), way=way, line=line, on=date(2024, 1, 1), amount=amount, **given)
    return way


def hung_of(line, stems, *, on=date(2024, 7, 25), days=14):
    """So many stems of a line's variety hung on a day; its species usually takes so many days."""
    species = line.variety.species
    species.days_to_dry = days
    species.save()
    lot = LotFactory(planting=PlantingFactory(variety=line.variety), stems=stems, on=on)
    return HangingFactory(lot=lot, stems=stems, on=on)


def rows_of(found):
    """What is free and what is coming, as numbers."""
    return [one.bunches for one in found.free], [(one.bunches, one.expected, one.where) for one in found.coming]


def test_free_is_what_is_neither_promised_nor_held_back(owner):
    """20 boxed, 4 in a box held back, 5 promised: 11 are free, at 4.50 and 4.00 from ten."""
    line, box = LineFactory(), BoxFactory()
    batch_of(line, 16, box=BoxFactory())
    batch_of(line, 4, box=box)
    stock.hold_back(by=owner, box=box, on=ON, until=date(2036, 1, 1), why="to be looked over")
    stock.hold(by=owner, line=line, on=ON, bunches=5, for_what="a wedding")
    way = priced(line, by=owner)
    priced(line, way=way, amount=400, at_least=10, by=owner)
    (one,) = availability(way, ON).free

    assert (one.bunches, one.of.steps, one.of.price, one.of.own) == (11, [(1, 450), (10, 400)], 450, False)


def test_a_day_gone_by_counts_no_stem_twice(owner):
    """Sixteen made in August, nine sold in September: 16 free as of August, 7 from September on, at each day's price."""
    line = LineFactory()
    batch_of(line, 16, box=BoxFactory())
    way = priced(line, by=owner)
    pricing.set_price(by=owner, way=way, line=line, on=date(2024, 9, 1), amount=600)
    stall = pricing.add_way(by=owner, name="Gate")
    sales.sell(by=owner, on=date(2024, 9, 1), way=stall, lines=[sales.Sold(9, line=line, price=700)])
    days = (ON, date(2024, 9, 1), date(2035, 1, 1))
    found = [(one.bunches, one.of.price) for day in days for one in availability(way, day).free]

    assert found == [(16, 450), (7, 600), (7, 600)]
    assert availability(way, date(2035, 1, 1)).when < date(2035, 1, 1)


def test_what_hangs_is_coming_less_the_usual_loss_from_the_day_it_is_usually_dry(owner):
    """200 hung on 25 July, a tenth usually lost, 14 days to dry: about 18 of ten from 8 August, not among the free."""
    line = LineFactory()
    batch_of(line, 3)
    hung_of(line, 200)
    drying.set_loss_norm(by=owner, variety=line.variety, on=date(2024, 1, 1), share_bp=1000)

    assert rows_of(availability(priced(line, by=owner), ON)) == ([3], [(18, date(2024, 8, 8), ("hanging",))])


def test_stems_in_water_have_all_their_drying_before_them(owner):
    """95 in water today, 14 days to dry: 9 whole bunches from 16 August."""
    line = LineFactory(variety=VarietyFactory(species=SpeciesFactory(days_to_dry=14)))
    batch_of(line, 3)
    LotFactory(planting=PlantingFactory(variety=line.variety), stems=95, on=ON)

    assert rows_of(availability(priced(line, by=owner), ON))[1] == [(9, date(2024, 8, 16), ("in_water",))]


def test_dry_stems_and_what_is_due_already_are_expected_now(owner):
    """30 loose and sound, 20 cut dry, 60 up for longer than usual: 11 bunches from today."""
    line = LineFactory()
    batch_of(line, 3)
    down = hung_of(line, 30, days=5)
    TakingDownFactory(hanging=down, stems=30, on=ON)
    growing.cut(by=owner, planting=down.parting.lot.planting, on=ON, stage="seed", stems=20, dry=True)
    hung_of(line, 60, days=5, on=date(2024, 7, 1))
    ((bunches, expected, where),) = rows_of(availability(priced(line, by=owner), ON))[1]

    assert (bunches, expected, set(where)) == (11, ON, {"hanging", "loose"})


def test_nothing_is_expected_of_a_disaster(owner):
    """A hanging marked as one may yield anything or nothing."""
    line = LineFactory()
    batch_of(line, 3)
    hanging = hung_of(line, 200)
    TakingDownFactory(hanging=hanging, stems=50, on=ON, losses={"mould": 50})
    drying.mark_disaster(by=owner, hanging=hanging, on=ON, why="damp", norm_bp=500)

    assert availability(priced(line, by=owner), ON).coming == []


def test_without_usual_days_no_day_is_said(owner):
    """A species nobody knows the drying of: about so many, day not known."""
    line = LineFactory()
    batch = batch_of(line, 3)
    hung_of(line, 50, days=None)

    assert rows_of(availability(priced(batch.line, by=owner), ON))[1] == [(5, None, ("hanging",))]


def test_a_variety_comes_as_what_it_is_mostly_bunched_as(owner):
    """100 stems went into tens and 50 into fives: what comes is counted in tens; by a way that only sells fives, in fives."""
    tens = LineFactory()
    fives = LineFactory(variety=tens.variety, stems=5)
    batch_of(tens, 10)
    batch_of(fives, 10)
    hung_of(tens, 60)
    both = priced(tens, by=owner)
    priced(fives, way=both, by=owner)

    assert [(one.of.line, one.bunches) for one in availability(both, ON).coming] == [(tens, 6)]
    assert [(one.of.line, one.bunches) for one in availability(priced(fives, by=owner), ON).coming] == [(fives, 12)]


def test_a_customers_own_price_goes_before_the_list(owner):
    """The list says 4.50 and 4.00 from ten; this customer has 3.80 from five: 4.50, then 3.80 from five."""
    line = LineFactory()
    batch_of(line, 3)
    way = priced(line, by=owner)
    priced(line, way=way, amount=400, at_least=10, by=owner)
    customer = sales.add_customer(by=owner, name="Fern and Fennel")
    sales.set_own_price(by=owner, customer=customer, way=way, line=line, on=date(2024, 6, 1), amount=380, at_least=5)
    (theirs,), (anybodys,) = availability(way, ON, customer).free, availability(way, ON).free

    assert (theirs.of.steps, theirs.of.own) == ([(1, 450), (5, 380)], True)
    assert anybodys.of.steps == [(1, 450), (10, 400)]


def test_what_has_no_price_by_the_way_is_left_out_and_named(owner):
    """It cannot be offered before it has one; the page says which."""
    line, other, coming = LineFactory(), LineFactory(), LineFactory()
    for one in (line, other):
        batch_of(one, 3)
    stock.draw(by=owner, batch=batch_of(coming, 1), box=None, on=ON, bunches=1, reason="sample")
    hung_of(coming, 50)
    found = availability(priced(line, by=owner), ON)

    assert [one.of.line for one in found.free] == [line] and found.unpriced == [other, coming]


def asked(client, what="availability", **given):
    """One of the list's pages."""
    return client.get(reverse(f"sales:{what}"), {"on": "2024-08-02", **given})


@pytest.fixture
def stocked(owner):
    """Three of a poisonous blue line at 4.50, and 60 stems of it coming on 8 August."""
    species = SpeciesFactory(name="Larkspur", caution="Poisonous in all its parts.")
    line = LineFactory(variety=VarietyFactory(species=species, name="Tall", colour="deep blue"))
    batch_of(line, 3)
    hung_of(line, 60)
    priced(line, by=owner)
    return line


def test_page_keeps_free_and_coming_apart(stocked, seller, client_as):
    """Two tables, the colour as a word beside its patch, the caution, the text to copy."""
    words = asked(client_as(seller)).content.decode()
    ready, coming = words.split("Coming, not promised</h2>")

    assert 'fill="#3f5f9e"' in ready and "deep blue" in ready and "4.50" in ready
    assert date_format(date(2024, 8, 8)) in coming and "about" not in ready
    assert "Larkspur: Poisonous in all its parts." in coming and "<textarea" in coming


def test_what_is_past_its_best_is_told_to_the_seller_alone(owner, stocked, seller, client_as):
    """Three made in summer keep 60 days: said on the page in November, not on what is sent."""
    stock.set_keeps_for(by=owner, on=date(2024, 1, 1), species=None, days=60)
    asked_for = {"on": "2024-11-20"}

    page = asked(client_as(seller), **asked_for)

    assert page.context["past"] == [(stocked, 3)]
    assert "Past its best" in page.content.decode()
    assert "Past its best" not in asked(client_as(seller), "availability_text", **asked_for).content.decode()
    assert asked(client_as(seller)).context["past"] == []


def test_spreadsheet_reads_back(stocked, seller, client_as):
    """UTF-8, heads first, a row a line, free and coming told apart."""
    answer = asked(client_as(seller), "availability_csv")
    rows = list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"))))

    assert answer["Content-Type"] == "text/csv; charset=utf-8" and "available-2024-08-02.csv" in answer["Content-Disposition"]
    assert [(row["state"], row["bunches"], row["expected"], row["price"]) for row in rows] == [
        ("free", "3", "", "4.50"), ("coming, not promised", "6", "2024-08-08", "4.50"),
    ]
    assert rows[0]["colour"] == "deep blue" and rows[0]["stems"] == "10" and rows[0]["tax"] == "without tax"


def test_no_cell_of_the_spreadsheet_is_a_formula(owner, seller, client_as):
    """A name that begins as a formula is kept from being one."""
    line = LineFactory(variety=None, name="=2+3")
    batch_of(line, 3)
    priced(line, by=owner)

    assert ",'=2+3," in asked(client_as(seller), "availability_csv").content.decode()


def test_text_can_be_pasted(stocked, seller, client_as):
    """Plain lines: who, which prices, ready, coming, cautions."""
    answer = asked(client_as(seller), "availability_text")
    lines = answer.content.decode().splitlines()

    assert answer["Content-Type"] == "text/plain; charset=utf-8"
    assert lines[1] == "Prices in GBP, without tax." and lines[-1] == "Larkspur: Poisonous in all its parts."
    assert "- Larkspur Tall, firsts, 10 st (deep blue): 3, each 4.50" in lines and "Coming, not promised:" in lines


def test_text_says_where_no_day_can_be_said(owner, seller, client_as):
    """A species nobody knows the drying of."""
    line = LineFactory()
    batch_of(line, 3)
    hung_of(line, 50, days=None)
    priced(line, by=owner)

    assert "about 5, day not known, each 4.50" in asked(client_as(seller), "availability_text").content.decode()


def test_paper_shows_colours_and_cautions(stocked, seller, client_as):
    """A PDF with the words of the page."""
    answer = asked(client_as(seller), "availability_paper")
    words = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.content)).pages)

    assert answer["Content-Type"] == "application/pdf"
    assert all(one in words for one in ("deep blue", "4.50", "not promised", "Poisonous"))


def test_an_empty_list_says_so(owner, seller, client_as):
    """Without a way of selling; with one and nothing there."""
    client = client_as(seller)
    assert "There is no way of selling yet." in asked(client).content.decode()
    assert asked(client, "availability_text").content == b"" == asked(client, "availability_csv").content

    TradeFactory()
    assert "Nothing is free and nothing is coming just now." in asked(client).content.decode()
    assert "Nothing is free" in asked(client, "availability_text").content.decode()


def test_a_day_that_is_none_is_said_beside_its_field(stocked, seller, client_as):
    """The list of today is shown all the same."""
    page = asked(client_as(seller), on="soon")
    assert page.status_code == 200 and "on" in page.context["form"].errors


def test_as_many_questions_for_many_lines_as_for_few(
    stocked, owner, seller, client_as, django_assert_num_queries, django_assert_max_num_queries
):
    """The number of queries does not grow with the lines."""
    client, way = client_as(seller), stocked.prices.get().way
    asked(client)
    with django_assert_max_num_queries(32) as few:
        asked(client)
    for _ in range(3):
        line = LineFactory()
        batch_of(line, 2)
        hung_of(line, 40)
        priced(line, way=way, by=owner)
    with django_assert_num_queries(len(few)):
        asked(client)


def test_a_hand_sees_no_prices(stocked, hand, client_as):
    """None of the four."""
    for what in ("availability", "availability_paper", "availability_csv", "availability_text"):
        assert asked(client_as(hand), what).status_code == 403
