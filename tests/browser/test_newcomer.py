"""A newcomer takes a stem from an empty ledger to the valuation, through the pages alone."""

import pytest

from tests.browser.conftest import asked
from tests.browser.steps import beginning, books, boxing, drying, selling
from tests.browser.walking import Walk

pytestmark = [pytest.mark.browser, pytest.mark.filterwarnings("ignore::ResourceWarning")]


def from_bed_to_loft(walk: Walk) -> None:
    """Ground, plants, 400 stems cut: 20 thrown out, 50 sold fresh, 330 hung, 310 sound."""
    beginning.add_worker(walk, "Juniper", "12.00")
    beginning.lay_out_ground(walk)
    beginning.pay_the_rent(walk, "365.00")
    beginning.name_the_plant(walk)
    beginning.plant(walk)
    planting = walk.page.url
    beginning.work_on_it(walk, "Juniper", 150, "sowing, planting", "2024-04-02")
    walk.open(planting)
    beginning.buy_for_it(walk, "Plug plants", "Plants", "40.00", "8.00", "2024-04-02")
    selling.add_way(walk, "Market stall", trade=False, margin="35", fee="1.5")
    selling.add_way(walk, "Florists", trade=True, margin="25")
    drying.add_place(walk, "Loft", 40)
    walk.open(planting)
    drying.cut(walk, bundles=40, per_bundle=10, on="2024-07-10")
    lot = walk.page.url
    drying.throw_out(walk, 20, "broken", "2024-07-10")
    selling.sell_fresh(walk, 50, "0.40", "2024-07-11")
    walk.open(lot)
    drying.hang(walk, 330, "Loft", 33, "2024-07-11")


def from_loft_to_shelf(walk: Walk) -> list[str]:
    """Down in two goes, a disaster marked and unmarked, bunched into three lines and two boxes, counted."""
    hanging = walk.page.url
    drying.take_down(walk, 200, {"mould": 10}, "2024-07-25")
    walk.open(hanging)
    drying.take_down(walk, 130, {"shattered": 6, "dropped": 4}, "2024-07-30")
    walk.open(hanging)
    drying.mark_and_unmark_disaster(walk, "The roof leaked", "2024-07-30")
    lines = [boxing.add_line(walk, "firsts", stems=10), boxing.add_line(walk, "seconds", stems=10)]
    lines.append(boxing.add_line(walk, "oddments", grams=100))
    boxes = [boxing.begin_box(walk, "A1"), boxing.begin_box(walk, "A2")]
    made = [
        {"Line": lines[0], "Made": 24, "Into the box": boxes[0]},
        {"Line": lines[1], "Made": 5, "Into the box": boxes[0]},
        {"Line": lines[2], "Made": 2, "Stems used": 15},
    ]
    boxing.bunch(walk, 310, made, 5, "2024-08-01")
    beginning.work_on_it(walk, "Juniper", 60, "bunching", "2024-08-01")
    boxing.look_at_label(walk, boxes[0])
    boxing.move(walk, lines[0], 8, boxes[0], boxes[1], "2024-08-02")
    boxing.count(walk, boxes[1], lines[0], 7, "2024-09-01")
    return lines


def from_shelf_to_sold(walk: Walk, firsts: str) -> None:
    """A price proposed and set; a stall; an order of 10 sent in two parts; invoices, a credit, a payment."""
    proposed = selling.price_from_the_cost_sheet(walk, firsts, "Market stall")
    assert proposed.endswith(".50")
    selling.set_price(walk, firsts, "Market stall", "9.50", "2024-08-01")
    selling.set_price(walk, firsts, "Florists", "6.00", "2024-08-01")
    selling.hold_a_stall(walk, "Nether Teasel market", firsts, 4, "2024-09-07")
    selling.add_customer(walk, "Quill and Thistle")
    selling.take_order(walk, firsts, 10, "2024-09-10")
    order = walk.page.url
    selling.pack_and_send(walk, firsts, 6, "2024-09-11")
    walk.open(order)
    selling.invoice(walk, "2024-09-11")
    assert walk.fact("Sum") == "43.20"
    selling.credit(walk, 1, "One bunch was crushed", "2024-09-12")
    selling.get_paid(walk, "2024-09-20")
    walk.open(order)
    selling.pack_and_send(walk, firsts, 4, "2024-09-13")
    walk.open(order)
    selling.invoice(walk, "2024-09-13")
    assert walk.fact("Sum") == "28.80"


def from_sold_to_valued(walk: Walk) -> None:
    """Bed earnings; both sides equal by every method; the year closed; a late bill put right."""
    assert "Blue Heron" in books.earnings(walk, 2024)[0]
    for method in books.METHODS:
        came, went = books.both_sides(books.value_stock(walk, method, "2024-01-01", "2024-12-31"))
        assert came == went > 0
    books.close_year(walk, "2024-12-31")
    assert books.put_right(walk) == 0
    walk.go("bunched", "Runs")
    walk.follow_with("Aug 2024")
    beginning.buy_for_it(walk, "Bands, billed late", "Bands", "6.10", "1.22", "2025-02-03")
    assert 0 < books.put_right(walk) < 610


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_one_stem_from_an_empty_ledger_to_the_year_end(newcomer: Walk, empty_ledger, size):
    """Every stage of the path is entered on its page, a bunch's cost opens down to one entry, and the ledger proves."""
    folder, link = empty_ledger
    beginning.set_up(newcomer, link)
    from_bed_to_loft(newcomer)
    lines = from_loft_to_shelf(newcomer)
    from_shelf_to_sold(newcomer, lines[0])
    from_sold_to_valued(newcomer)
    selling.open_cost_sheet(newcomer, lines[0])
    books.down_to_one_entry(newcomer, ("Bunching run", "hung", "cut", "Long field Bed 1", "sowing"))

    assert newcomer.title() == "150 minutes, sowing, planting, weeding, watering"
    assert newcomer.fact("Worker") == "Juniper"
    assert asked(folder, "prove")["ok"]
