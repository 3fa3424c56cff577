"""An order short, part-sent, substituted and cancelled in part, on a phone from an empty ledger through the pages alone."""

import pytest

from tests.browser.conftest import asked
from tests.browser.steps import beginning, books, boxing, drying, growing, ordering, selling
from tests.browser.walking import Walk

pytestmark = [pytest.mark.browser, pytest.mark.filterwarnings("ignore::ResourceWarning")]

ORDERED, PICKED = "2024-09-10", "2024-09-11"


def twelve_and_eight_on_the_shelf(walk: Walk, link: str) -> tuple[str, str, str]:
    """Twelve firsts in one box, eight seconds in another, 100 stems still hanging; return both lines and the hanging's page."""
    beginning.set_up(walk, link)
    growing.add_plot(walk, "Long field", {"Bed 1": 20})
    larkspur = growing.add_variety(walk, "Larkspur", "Blue Heron", 14)
    growing.plant(walk, larkspur, "Bed 1", 300, "2024-04-02")
    drying.add_place(walk, "Loft", 60)
    growing.cut_round(walk, {larkspur: {"stems": 300}}, "2024-07-10")
    growing.open_lot(walk, larkspur)
    lot = walk.page.url
    drying.hang(walk, 100, "Loft", 6, "2024-07-11")
    still_up = walk.page.url
    walk.open(lot)
    drying.hang(walk, 200, "Loft", 6, "2024-07-11")
    drying.take_down(walk, 200, {}, "2024-07-25")
    firsts, seconds = boxing.add_line(walk, "firsts", stems=10), boxing.add_line(walk, "seconds", stems=10)
    boxes = [boxing.begin_box(walk, "A1"), boxing.begin_box(walk, "A2")]
    for line, made, box in zip((firsts, seconds), (12, 8), boxes, strict=True):
        boxing.bunch(walk, 10 * made, [{"Line": line, "Made": made, "Into the box": box}], 0, "2024-08-01")
    return firsts, seconds, still_up


def short_order(walk: Walk, firsts: str) -> str:
    """Twenty asked, twelve promised, carriage of 5.00 by the terms; return the order's page."""
    selling.add_way(walk, "Florists", trade=True, margin="25")
    ordering.set_order_terms(walk, "Florists", "20.00", "5.00", "200.00")
    selling.set_price(walk, firsts, "Florists", "6.00", "2024-08-01")
    selling.add_customer(walk, "Quill and Thistle")
    ordering.take_short_order(walk, firsts, 20, 12, ORDERED)
    assert walk.says("8 lack.") and walk.says("None is free now.") and walk.says("not promised")
    return walk.page.url


def test_an_order_short_part_sent_substituted_and_cancelled_in_part(newcomer: Walk, empty_ledger):
    """Three stood in for, two cancelled, three to come; two not found and substituted; sent, invoiced, the rest sent later."""
    walk, (folder, link) = newcomer, empty_ledger
    firsts, seconds, still_up = twelve_and_eight_on_the_shelf(walk, link)
    order = short_order(walk, firsts)
    ordering.put_in_instead(walk, seconds, 3, ORDERED)
    ordering.say_later(walk, 3, "2024-10-10", ORDERED)
    ordering.cancel(walk, 2, ORDERED)
    assert walk.says("3 lack.") and walk.says("3 of them are said to come later")
    picked_and_sent(walk, order, firsts, seconds)
    billed(walk, order)
    the_rest_comes_down(walk, firsts, still_up)
    the_rest_is_sent(walk, order, firsts)

    assert books.proves(walk)
    assert asked(folder, "prove")["ok"]


def picked_and_sent(walk: Walk, order: str, firsts: str, seconds: str) -> None:
    """The box holds ten of twelve; two seconds more go instead, with the three promised; carriage goes along."""
    ordering.find_only(walk, firsts, 10, PICKED)
    assert walk.says("2 of") and walk.says("are on no shelf")
    ordering.pack_instead(walk, seconds, 2, PICKED)
    assert walk.says("5 stood in for by others")
    ordering.pack_line(walk, seconds, PICKED)
    ordering.send(walk, PICKED)
    assert walk.fact("Carriage, net").strip("£ ") == "5.00"
    walk.open(order)


def billed(walk: Walk, order: str) -> None:
    """Ten firsts and five in their place at 6.00, and carriage: 95.00."""
    selling.invoice(walk, PICKED)
    assert walk.row("Carriage")[-1].strip("£ ") == "5.00"
    assert walk.fact("Net").strip("£ ") == "95.00"
    walk.open(order)


def the_rest_comes_down(walk: Walk, firsts: str, still_up: str) -> None:
    """Ten more firsts; Today says that a line can be filled, and one press fills it."""
    walk.open(still_up)
    drying.take_down(walk, 100, {}, "2024-09-20")
    box = boxing.begin_box(walk, "A3")
    boxing.bunch(walk, 100, [{"Line": firsts, "Made": 10, "Into the box": box}], 0, "2024-09-21")
    walk.today()
    walk.follow_with("1 line of an order lacks some that is free now")
    walk.record("Promise 3")


def the_rest_is_sent(walk: Walk, order: str, firsts: str) -> None:
    """Three firsts in a second parcel, without carriage; nothing lacks any more."""
    walk.open(order)
    assert not walk.says("What lacks")
    walk.follow("Pack")
    walk.main.locator("table.ruled tbody tr").filter(has_text=firsts).first.get_by_role("checkbox").check()
    walk.record("Packed")
    walk.follow("Send the parcel")
    assert not walk.says("Carriage that goes with it")
    walk.record("Sent")
    walk.open(order)
    assert selling.standing(walk, firsts)["Sent"] == "13"
