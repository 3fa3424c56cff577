"""The demonstration's pages: whole on a phone and at a desk, for everybody; every list filters, sorts and turns over."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Locator

from tests.browser.walking import Walk

pytestmark = [pytest.mark.browser, pytest.mark.filterwarnings("ignore::ResourceWarning")]
WORST = {"serious", "critical"}
PAGES = [
    "/", "/growing/plantings/", "/growing/lots/cut/", "/growing/beds/", "/drying/hangings/", "/drying/places/", "/stock/lines/",
    "/stock/runs/make/", "/stock/boxes/", "/daybook/work/note/", "/daybook/purchases/enter/", "/pricing/prices/", "/sales/sell/",
    "/sales/orders/take/", "/sales/orders/", "/sales/invoices/", "/books/valuation/", "/books/earnings/", "/books/proof/",
    "/books/bring-in/", "/holding/people/add/", "/growing/plantings/begin/", "/growing/lots/cut-round/", "/drying/due-down/",
    "/drying/readings/", "/daybook/week/", "/daybook/clock/start/", "/daybook/materials/use/", "/stock/runs/rework/",
    "/stock/runs/make-up/", "/stock/runs/buy-in/", "/costs/losses/", "/costs/dries-better/", "/costs/season/",
    "/sales/drawn/", "/sales/sell-as-seconds/", "/sales/workshops/", "/sales/workshops/new/", "/sales/hire-items/",
    "/sales/hire-items/new/",
]
# A list, and the kind of record its first row leads to.
RECORDS = [
    "/growing/plantings/", "/growing/lots/", "/growing/species/", "/drying/hangings/", "/stock/runs/", "/stock/batches/",
    "/stock/lines/", "/stock/boxes/", "/sales/orders/", "/sales/", "/sales/invoices/", "/sales/customers/",
    "/daybook/work/", "/daybook/materials/", "/drying/places/", "/sales/workshops/", "/sales/hire-items/",
]
# A list, a filter of it, and what every row then says.
FILTERED = [
    ("/growing/plantings/", "Variety", "Strawflower copper", "Strawflower copper"),
    ("/growing/lots/", "Variety", "Statice deep blue", "Statice deep blue"),
    ("/drying/hangings/", "Place", "Barn Rails", "Barn Rails"), ("/stock/lines/", "Grade", "seconds", "seconds"),
    ("/stock/book/", "What happened", "written off", "written off"), ("/sales/orders/", "Customer", "Fennock Flowers", "Fennock"),
    ("/sales/invoices/", "Kind", "credit", "credit"), ("/daybook/work/", "Worker", "Tobin Wray", "Tobin"),
    ("/pricing/prices/", "Way of selling", "Farm gate", "Farm gate"),
]


def faults(walk: Walk) -> list[str]:
    """What makes the page hard to use for somebody, with the place in its source."""
    found = Axe().run(walk.page).response["violations"]
    return [f"{walk.page.url} {one['id']}: {one['nodes'][0]['html'][:200]}" for one in found if one["impact"] in WORST]


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_pages_are_for_everybody(visitor: Walk, size):
    """Lists, forms and papers' pages have no serious fault and fit the screen."""
    found = []
    for where in PAGES:
        visitor.open(where)
        found += faults(visitor)

    assert found == []


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_records_are_for_everybody(visitor: Walk, size):
    """The first record of each list, and what it cost, have no serious fault and fit the screen."""
    found = []
    for where in RECORDS:
        visitor.open(where)
        visitor.click(visitor.main.locator("tbody a").first)
        found += faults(visitor)

    assert found == []


def test_every_list_sorts_by_its_heads(visitor: Walk):
    """A click on the first head of any list of the way sorts it, the next turns the order round."""
    sorted_lists = 0
    for where in lists_of_the_way(visitor):
        visitor.open(where)
        if heads(visitor).count():
            orders = {order_after_a_click(visitor) for _click in range(2)}
            assert orders == {"ascending", "descending"}, where
            sorted_lists += 1

    assert sorted_lists > 30


def lists_of_the_way(walk: Walk) -> list[str]:
    """The addresses of every list the way through leads to."""
    walk.open("/")
    stages = [link.get_attribute("href") for link in walk.page.locator(".way .stem > li > a, .way .beside > li > a").all()]
    found: list[str] = []
    for stage in stages:
        walk.open(str(stage))
        found += [str(link.get_attribute("href")) for link in walk.page.locator(".way .lists a").all()]
    return found


def heads(walk: Walk) -> Locator:
    """The heads a list can be sorted by."""
    return walk.main.locator("thead th a")


def order_after_a_click(walk: Walk) -> str | None:
    """Click the first head; how the list then says it is sorted."""
    walk.click(heads(walk).first)
    return heads(walk).first.locator("xpath=ancestor::th").get_attribute("aria-sort")


def test_long_lists_turn_over(visitor: Walk):
    """The next leaf shows other rows, the earlier leaf the first ones again."""
    visitor.open("/stock/book/")
    first = visitor.main.locator("tbody").inner_text()
    visitor.follow("Next leaf")
    second = visitor.main.locator("tbody").inner_text()
    visitor.follow("Earlier leaf")

    assert second != first
    assert visitor.main.locator("tbody").inner_text() == first


@pytest.mark.parametrize(("where", "label", "value", "says"), FILTERED)
def test_lists_show_only_some(visitor: Walk, where, label, value, says):
    """What a filter asks for is in every row that is left, and some rows are."""
    visitor.open(where)
    visitor.page.get_by_text("Show only some").click()
    visitor.fill({label: value})
    visitor.press("Show")
    rows = visitor.main.locator("tbody tr:not(.nothing)").all_inner_texts()

    assert rows
    assert [row for row in rows if says not in row] == []
