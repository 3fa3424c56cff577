"""Fresh or dry: one lot split between the two, worked by hand."""

from datetime import date

import pytest
from django.urls import reverse

from ledger.books import actions as books
from ledger.books.queries.fresh_or_dry import fresh_or_dry
from ledger.books.queries.tracing import Tracing
from ledger.costing.queries import book
from ledger.daybook import actions as daybook
from ledger.drying import actions as drying
from ledger.facts.models import CostKind
from ledger.growing import actions as growing
from ledger.pricing import actions as pricing
from ledger.sales import actions as sales
from ledger.stock import actions as stock
from ledger.stock.models import Box, Movement
from tests.books.test_closing import spend
from tests.thread import plant

ASKED = date(2024, 12, 31)
CUT = date(2024, 7, 3)


def hours(owner, what, on, minutes):
    """Paid time at 12.00 an hour."""
    worker = daybook.add_worker(by=owner, name=f"Juniper {on}", paid=True)
    daybook.set_worker_rate(by=owner, worker=worker, on=date(2024, 1, 1), per_hour=1200)
    daybook.note_work(by=owner, worker=worker, on=on, minutes=minutes, task="bunching", spent_on=[(what.cost_object, 1)])


def split_lot(owner, *, work=True, sell=True):
    """300 stems cut: 100 sold fresh for 40.00 two days later, 200 hung, 40 of them lost, 160 in 16 bunches, 12 sold for 72.00.

    Hanging took half an hour, bunching a whole one: 18.00. The market where the bunches went cost 6.00 and a fee of 2 %.
    """
    planting = plant(owner, expected=None)
    spend(owner, planting, date(2024, 5, 1), 9000)
    lot = growing.cut(by=owner, planting=planting, on=CUT, stage="full", stems=300)
    hanging = drying.hang(
        by=owner, lot=lot, on=date(2024, 7, 4), place=drying.add_place(by=owner, name="Loft", unit="hooks", room=50), stems=200,
    )
    drying.take_down(by=owner, hanging=hanging, on=date(2024, 7, 24), stems=200, losses={"mould": 40})
    line = stock.add_line(by=owner, variety=planting.variety, colour="copper", unit="bunch", stems=10)
    outputs = [stock.Output(line=line, made=16, box=stock.new_box(by=owner))]
    run = stock.make_run(by=owner, on=date(2024, 7, 25), inputs=[(hanging, 160)], outputs=outputs)
    growing.clear(by=owner, planting=planting, on=date(2024, 10, 1))
    if work:
        hours(owner, hanging, date(2024, 7, 4), 30)
        hours(owner, run, date(2024, 7, 25), 60)
    way = pricing.add_way(by=owner, name="Stall", kind="stall")
    pricing.set_price(by=owner, way=way, line=line, on=date(2024, 1, 1), amount=500)
    if sell:
        sell_both(owner, way, lot, line)
    return planting.variety


def sell_both(owner, way, lot, line):
    """Fresh on 5 July at the gate, dried on 1 September at a market."""
    pricing.set_terms(by=owner, way=way, on=date(2024, 8, 1), fee_bp=200)
    sales.sell(by=owner, on=date(2024, 7, 5), way=way, lines=[sales.Sold(100, lot=lot, price=40)])
    day = sales.open_stall_day(by=owner, on=date(2024, 9, 1), name="Green", way=way)
    sales.sell(by=owner, on=day.on, way=way, stall_day=day, lines=[sales.Sold(12, line=line, price=600, why="a wedding")])
    carriage = daybook.BoughtLine("drive", CostKind.objects.get(code="carriage"), 600, 0, [(day.cost_object, 1)])
    daybook.record_purchase(by=owner, on=day.on, supplier="Fuel", lines=[carriage])


def test_a_lot_split_fresh_and_dried_is_told_for_each_hundred_stems(owner):
    """Fresh 40.00 for 100. Dried: twelve of 16 bunches stand for 150 of the 200 hung, 30 of them lost.

    72.00 less three quarters of 18.00, less 6.00 and 1.44: 51.06 for 150 stems is 34.04 a hundred, 5.96 less than fresh.
    """
    split_lot(owner)
    season, (row,) = fresh_or_dry(2024, ASKED)
    fresh, dried = row.season.fresh, row.season.dried

    assert (season, fresh.number, fresh.net, fresh.brought, fresh.a_hundred) == (2024, 100, 4000 * 10**6, 4000 * 10**6, 4000)
    assert (dried.number, dried.net, dried.later, dried.selling) == (150, 7200 * 10**6, 1350 * 10**6, 744 * 10**6)
    assert (dried.a_hundred, row.season.more_dried, row.season.why_not) == (3404, -596, "")


def test_waiting_is_counted_and_what_is_unsold_stands_apart(owner):
    """Fresh waited two days, dried 60; four bunches are left for 50 stems hung, at 5.00 each less 2 % they fetch 19.60."""
    split_lot(owner)
    _season, (row,) = fresh_or_dry(2024, ASKED)

    assert (row.season.fresh.waited, row.season.dried.waited) == (2, 60)
    assert (row.season.dried.number_unsold, row.season.dried.fetch) == (50, 1960 * 10**6)
    assert [week.week for week in row.weeks] == [date(2024, 7, 1)]


@pytest.mark.parametrize(("least", "why"), [(100, ""), (101, "few_fresh"), (151, "few_fresh")])
def test_too_few_stems_are_said(owner, least, why):
    """Below the fewest stems the holding set nothing is compared."""
    split_lot(owner)
    books.set_least_stems(by=owner, on=date(2024, 1, 1), stems=least)

    assert fresh_or_dry(2024, ASKED)[1][0].season.why_not == why


def test_a_missing_cost_and_nothing_sold_are_never_nothing(owner):
    """Without a cost of drying nothing is compared; without a sale nothing is said."""
    split_lot(owner, work=False)

    assert fresh_or_dry(2024, ASKED)[1][0].season.why_not == "no_cost"
    assert fresh_or_dry(2024, date(2024, 8, 31))[1][0].season.why_not == "only_fresh"
    assert fresh_or_dry(2024, date(2024, 7, 4))[1][0].season.why_not == "nothing_sold"
    assert fresh_or_dry(2023, ASKED)[1] == []


def test_wreaths_made_of_the_bunches_still_count_for_the_lot_they_came_from(owner):
    """Four bunches in a wreath sold for 45.00: no stem is left, its income and its work are the lot's."""
    variety = split_lot(owner)
    line = variety.lines.get()
    wreath = stock.add_line(by=owner, name="Wreath", unit="piece")
    bunches = [(line.batches.get(), Box.objects.get(), 4)]
    stock.make_up(by=owner, on=date(2024, 11, 1), bunches=bunches, outputs=[stock.Output(wreath, 1)])
    gate = pricing.add_way(by=owner, name="Gate")
    sales.sell(by=owner, on=date(2024, 12, 1), way=gate, lines=[sales.Sold(1, line=wreath, price=4500)])
    dried = fresh_or_dry(2024, ASKED)[1][0].season.dried

    assert (dried.number, dried.number_unsold) == (200, 0)
    assert (dried.net, dried.later) == (11700 * 10**6, 1800 * 10**6)


def test_bunches_that_came_back_were_not_sold(owner):
    """Four of the twelve come back: eight of 16 stand for 100 of the 200 hung, the other 100 are unsold."""
    split_lot(owner)
    stock.take_back(by=owner, on=date(2024, 9, 8), movement=Movement.objects.get(kind="sold"), bunches=4)
    dried = fresh_or_dry(2024, ASKED)[1][0].season.dried

    assert (dried.number, dried.sold, dried.number_unsold, dried.waited) == (100, 100 * 10**6, 100, 60)


def test_what_making_up_cost_stays_with_wreaths_that_came_back(owner):
    """Two wreaths took an hour, 12.00; one is sold, comes back and is sold again: 6.00 come off what it brought."""
    variety = split_lot(owner)
    wreath = stock.add_line(by=owner, name="Wreath", unit="piece")
    bunches = [(variety.lines.get().batches.get(), Box.objects.get(), 4)]
    run = stock.make_up(by=owner, on=date(2024, 11, 1), bunches=bunches, outputs=[stock.Output(wreath, 2)])
    hours(owner, run, date(2024, 11, 1), 60)
    gate = pricing.add_way(by=owner, name="Gate")
    for day in (1, 20):
        sales.sell(by=owner, on=date(2024, 12, day), way=gate, lines=[sales.Sold(1, line=wreath, price=4500)])
        if day == 1:
            sold = Movement.objects.get(kind="sold", batch__line=wreath)
            stock.take_back(by=owner, on=date(2024, 12, 10), movement=sold, bunches=1)
    (traced,) = Tracing(book(ASKED), ASKED).by_source.values()

    assert sum(traced.taken_off.values()) == 600 * 10**6


def test_the_page_says_it_in_one_sentence_and_on_paper(owner, client_as):
    """In plain words, for all varieties and for one week by week."""
    variety, client = split_lot(owner), client_as(owner)
    page = client.get(reverse("books:fresh_or_dry"), {"season": 2024})
    alone = client.get(reverse("books:fresh_or_dry"), {"season": 2024, "variety": variety.pk})
    says = "34.04 dried, after loss, work and 60 days on average (of 150): selling fresh brought 5.96 more."

    assert says in page.context["varieties"][0].says
    assert [row.label for row in alone.context["weeks"]] == ["1\xa0Jul\xa02024"]
    assert client.get(reverse("books:fresh_or_dry_paper"), {"season": 2024}).status_code == 200
