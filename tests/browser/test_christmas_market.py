"""A Christmas market on two phones, the network cut in the middle, until everything is put away and paid."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from tests.browser.conftest import Demo, asked, walking
from tests.browser.steps import market, signal
from tests.browser.walking import Walk

pytestmark = [pytest.mark.browser, pytest.mark.filterwarnings("ignore::ResourceWarning")]
PASSWORD = "teasel-and-honesty"
LOST = ("422", "net::ERR")
STATICE, STATICE_BOX = "Statice deep blue, firsts, 10 st", "2223C"
LEMON, LEMON_BOX = "Strawflower lemon, firsts, 10 st", "22282"


@pytest.fixture
def grower(request: pytest.FixtureRequest, browser: Browser, demo: Demo) -> Iterator[Walk]:
    """The owner, with one phone."""
    with walking(request, browser, demo.address, bears=LOST, storage_state=demo.signed_in) as walk:
        walk.open("/")
        yield walk


@pytest.fixture
def seller(request: pytest.FixtureRequest, browser: Browser, demo: Demo, grower: Walk) -> Iterator[Walk]:
    """Somebody who sells, signed in on another phone."""
    grower.open("/holding/people/add/")
    grower.fill({"Name to sign in with": "fennel", "Role": "Seller", "First password": PASSWORD})
    grower.record("Add")
    with walking(request, browser, demo.address, bears=LOST) as walk:
        walk.open("/sign-in/")
        walk.fill({"Username": "fennel", "Password": PASSWORD})
        walk.press("Sign in")
        yield walk


def test_a_christmas_market_with_the_network_cut(grower: Walk, seller: Walk, demo: Demo):
    """Loaded, sold on both phones, two sales kept while the network is gone, put away in one step, tin and cards right."""
    grower.today()
    day = market.begin(grower, "Christmas market")
    market.load(grower, [STATICE_BOX, LEMON_BOX])
    market.count_tin(grower, "50.00")

    cash = 2 * market.sell(grower, day, STATICE, 2, paid="cash", price="7.00", why="end of the day")
    card = 3 * market.sell(seller, day, LEMON, 3, paid="card")
    market.sell_as_seconds(grower, day, STATICE, 1, "3.00")
    cash += 300
    card += cut_off_in_the_middle(grower, seller, day)
    put_away(grower, day)

    market.count_tin(grower, market.major(5000 + cash - 50))
    assert grower.fact("Difference in the tin").strip("£ ") in {"-0.50", "−0.50"}
    assert grower.says("end of the day")
    market.paid_out(grower, today_of(grower, day), card, "0.90")
    assert asked(demo.folder, "prove")["ok"]


def cut_off_in_the_middle(grower: Walk, seller: Walk, day: str) -> int:
    """The seller goes on without signal; the grower's page for putting away is old when they come in. Return what they took."""
    seller.open(day)
    seller.follow("Sell")
    grower.open(day)
    grower.follow("Put away what came back")
    expected = market.came_back(grower, LEMON, LEMON_BOX)
    signal.lose(seller)
    took = 2 * market.sell_without_signal(seller, LEMON, 2, "1 entry waits")
    took += market.sell_without_signal(seller, LEMON, 1, "2 entries wait")
    signal.find(seller)
    signal.none_waits(seller)

    grower.press("Put it away")
    assert any("some were sold or moved" in sentence for sentence in grower.refusals())
    grower.open(day)
    grower.follow("Put away what came back")
    assert market.came_back(grower, LEMON, LEMON_BOX) == expected - 3
    return took


def put_away(grower: Walk, day: str) -> None:
    """One crushed bunch is thrown out, all else goes back on its shelf; one undo would take all of it back."""
    market.throw_out(grower, STATICE, STATICE_BOX, 1, "crushed")
    grower.record("Put it away")
    assert grower.page.url == day
    assert grower.says("What came back") and grower.says("crushed")


def today_of(walk: Walk, day: str) -> str:
    """The day of a stall day, as its page's form for selling says it."""
    walk.open(day)
    walk.follow("Sell")
    on = walk.typed("Day")
    walk.open(day)
    return on
