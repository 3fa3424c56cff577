"""Entries made without signal are kept on the device, shown plainly, and each counts once."""

import re
from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser

from tests.browser.conftest import Demo, walking
from tests.browser.steps import signal
from tests.browser.walking import Walk

pytestmark = [pytest.mark.browser, pytest.mark.filterwarnings("ignore::ResourceWarning")]
PASSWORD = "teasel-and-honesty"
LOST = ("422", "500", "net::ERR")
FAULT = "<main><h1>Something broke</h1><p>Not recorded.</p><p>The log has it as <strong>7F3A2C</strong>.</p></main>"
KEEPS_NOTHING = "Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError') }"


@pytest.fixture
def grower(request: pytest.FixtureRequest, browser: Browser, demo: Demo) -> Iterator[Walk]:
    """The owner in the field, the page for noting work open."""
    with walking(request, browser, demo.address, bears=LOST, storage_state=demo.signed_in) as walk:
        walk.open(signal.NOTE)
        yield walk


@pytest.fixture
def helpers(grower: Walk, request: pytest.FixtureRequest) -> list[str]:
    """Two people of field and loft who may sign in."""
    names = [f"{name}-{request.node.name[-12:]}" for name in ("hazel", "moss")]
    for name in names:
        grower.open("/holding/people/add/")
        grower.fill({"Name to sign in with": name, "Role": "Hand", "First password": PASSWORD})
        grower.record("Add")
    return names


@pytest.fixture
def phone(request: pytest.FixtureRequest, browser: Browser, demo: Demo) -> Iterator[Walk]:
    """A phone nobody has signed in on yet."""
    with walking(request, browser, demo.address, bears=LOST) as walk:
        yield walk


def sign_in(walk: Walk, name: str) -> None:
    """Sign in on the page shown."""
    walk.fill({"Username": name, "Password": PASSWORD})
    walk.press("Sign in")


def sign_out(walk: Walk) -> None:
    """Sign out where the way through says so."""
    walk.click(walk.page.get_by_role("button", name="Sign out"))


def test_two_entries_are_sent_once_when_the_signal_is_back(grower: Walk):
    """Kept, listed with what was typed, sent in their order; the ledger has each once."""
    signal.lose(grower)
    signal.note(grower, 11, "2026-04-01", "first")
    signal.says(grower, "No signal: “Note work” is kept on this device")
    signal.says(grower, "Do not reload this page without signal.")
    signal.note(grower, 12, "2026-04-01", "second")
    signal.says(grower, "2 entries wait on this device")
    assert [("Minutes: 11" in one, "Note: second" in one) for one in signal.waiting(grower)] == [(True, False), (False, True)]

    signal.find(grower)
    signal.none_waits(grower)

    assert signal.noted(grower, "2026-04-01") == ["11", "12"]
    assert signal.top(grower).get_by_role("link", name="Sent: Note work").count() == 2


def test_with_signal_an_entry_leads_on_as_ever(grower: Walk):
    """Nothing is kept, and the next page says that it was recorded."""
    with grower.page.expect_navigation():
        signal.note(grower, 13, "2026-04-02")
    grower.arrived()

    assert grower.says("Recorded.")
    assert signal.waiting(grower) == []


def test_an_entry_whose_answer_was_lost_counts_once(grower: Walk):
    """The page says that it may have arrived; sent again, the ledger still has it once."""
    with signal.answers_lost(grower):
        signal.note(grower, 14, "2026-04-03")
        signal.says(grower, "1 entry waits on this device")
        assert "it may have arrived" in signal.waiting(grower)[0]
        assert signal.noted(grower, "2026-04-03") == ["14"]
    signal.press(grower, "Send now")
    signal.none_waits(grower)

    assert signal.noted(grower, "2026-04-03") == ["14"]


def test_what_waits_outlives_the_page(grower: Walk):
    """Another page of the device shows it, and sends it."""
    grower.page.route("**/here/", lambda route: route.abort())
    signal.note(grower, 15, "2026-04-04")
    signal.says(grower, "1 entry waits on this device")
    other = grower.another_tab()
    other.open("/")
    signal.none_waits(other)

    assert signal.noted(other, "2026-04-04") == ["15"]


def test_signing_in_again_loses_nothing(grower: Walk, helpers, phone: Walk):
    """The person was signed out meanwhile: asked to sign in again, then sent."""
    phone.open(signal.NOTE)
    sign_in(phone, helpers[0])
    phone.page.context.clear_cookies()
    signal.note(phone, 16, "2026-04-05")
    signal.says(phone, "You are signed out: “Note work” is kept on this device.")
    phone.click(signal.top(phone).get_by_role("link", name="Sign in to send it"))
    signal.says(phone, "1 entry waits on this device: sign in to send what is yours.")
    sign_in(phone, helpers[0])

    assert phone.page.url.endswith(signal.NOTE)
    signal.none_waits(phone)
    assert signal.noted(phone, "2026-04-05") == ["16"]


def test_a_refused_entry_stays_with_its_sentence_and_is_put_right(grower: Walk):
    """The reason stands in the list; opened again the form says what was typed, and counts once when it is right."""
    signal.lose(grower)
    signal.note(grower, 3000, "2026-04-06", "too long a day")
    signal.says(grower, "1 entry waits")
    signal.find(grower)
    signal.says(grower, "Not accepted: Minutes: Ensure this value is less than or equal to 1440.")
    assert signal.noted(grower, "2026-04-06") == []

    signal.press(grower, "Open again")
    signal.says(grower, "This is what you typed.")
    assert (grower.typed("Minutes"), grower.typed("Note"), grower.typed("Day")) == ("3000", "too long a day", "2026-04-06")
    grower.fill({"Minutes": 300})
    grower.record("Note it")

    assert signal.waiting(grower) == []
    assert signal.noted(grower, "2026-04-06") == ["300"]


def test_an_entry_that_met_a_fault_stays_with_its_number(grower: Walk):
    """What the page of a fault says stands in the list; the entry can be sent again."""
    grower.page.route(f"**{signal.NOTE}", lambda route: route.fulfill(status=500, content_type="text/html", body=FAULT))
    signal.note(grower, 29, "2026-04-14")
    signal.says(grower, "Not accepted: Something broke · Not recorded. · The log has it as 7F3A2C.")
    grower.page.unroute(f"**{signal.NOTE}")
    signal.press(grower, "Send now")
    signal.none_waits(grower)

    assert signal.noted(grower, "2026-04-14") == ["29"]


def test_a_refused_entry_can_be_thrown_away(grower: Walk):
    """Asked once with what it says, then it is gone, and the ledger never had it."""
    asked = []
    grower.page.on("dialog", lambda dialog: (asked.append(dialog.message), dialog.accept()))
    signal.lose(grower)
    signal.note(grower, 3001, "2026-04-07")
    signal.find(grower)
    signal.says(grower, "Not accepted:")
    signal.press(grower, "Throw away")
    signal.none_waits(grower)

    assert "Minutes: 3001" in asked[0]
    assert signal.noted(grower, "2026-04-07") == []


def test_an_entry_of_several_lines_is_opened_again_whole(grower: Walk):
    """A form that had grown by a line has grown again, each line as it was typed."""
    grower.open("/daybook/purchases/enter/")
    grower.press("One more line")
    grower.fill({"Supplier": "Nether Teasel Supplies", "Day": "2026-04-13"})
    lines = grower.main.get_by_label("Net", exact=True)
    lines.nth(0).fill("12.50")
    lines.nth(1).fill("none at all")
    signal.lose(grower)
    grower.main.get_by_role("button", name="Record", exact=True).click()
    signal.says(grower, "1 entry waits")
    assert lines.count() == 1
    signal.find(grower)
    signal.says(grower, "Not accepted:")
    signal.press(grower, "Open again")
    signal.says(grower, "This is what you typed.")

    assert [lines.nth(one).input_value() for one in (0, 1)] == ["12.50", "none at all"]


def test_what_a_page_proposed_stays_with_the_entry_opened_again(grower: Walk):
    """Nine were proposed when it was typed; opened again the form still says so, or they would count as typed."""
    grower.open("/sales/jobs/")
    grower.click(grower.main.locator("tbody th a").first)
    grower.follow("Take bunches for it")
    proposed = grower.main.locator("input[name^=was_]").first
    proposed.evaluate("one => one.value = '9'")
    grower.fill({"Day": "2020-01-02"})
    signal.lose(grower)
    grower.main.get_by_role("button", name="Taken", exact=True).click()
    signal.says(grower, "1 entry waits")
    signal.find(grower)
    signal.says(grower, "Not accepted:")
    signal.press(grower, "Open again")
    signal.says(grower, "This is what you typed.")

    assert proposed.input_value() == "9"


def test_two_tabs_send_each_entry_once(grower: Walk):
    """Both learn of the signal at once; no entry leaves the device twice."""
    other, sent = grower.another_tab(), []
    other.open(signal.NOTE)
    grower.page.context.on("request", lambda one: sent.append(one.post_data) if one.method == "POST" else None)
    signal.lose(grower)
    for walk, minutes in ((grower, 21), (other, 22), (grower, 23), (other, 24)):
        signal.note(walk, minutes, "2026-04-08")
        signal.says(walk, "on this device")
    signal.says(grower, "4 entries wait on this device")
    signal.find(grower)
    signal.none_waits(grower)
    signal.none_waits(other)

    assert signal.noted(grower, "2026-04-08") == ["21", "22", "23", "24"]
    assert len(sent) == 4


def test_nobody_sends_or_reads_what_another_entered(grower: Walk, helpers, phone: Walk):
    """Another person signed in on the device sees only that something waits, and whose."""
    hazel, moss = helpers
    phone.open(signal.NOTE)
    sign_in(phone, hazel)
    signal.lose(phone)
    signal.note(phone, 25, "2026-04-09", "between us")
    signal.says(phone, "1 entry waits")
    phone.page.context.clear_cookies()
    signal.find(phone)
    signal.says(phone, "You are signed out")
    phone.click(signal.top(phone).get_by_role("link", name="Sign in to send it"))
    sign_in(phone, moss)
    signal.says(phone, f"Entries of {hazel} wait on this device: 1. Only {hazel} can see and send them.")
    assert "between us" not in phone.page.locator("body").inner_text()
    assert signal.noted(phone, "2026-04-09") == []

    sign_out(phone)
    sign_in(phone, hazel)
    signal.none_waits(phone)
    assert signal.noted(phone, "2026-04-09") == ["25"]


def test_a_page_of_one_person_sends_nothing_as_another(grower: Walk, helpers, phone: Walk):
    """Somebody signed in beside the open page: its entry waits for its maker."""
    phone.open(signal.NOTE)
    sign_in(phone, helpers[0])
    other = phone.another_tab()
    other.open("/")
    sign_out(other)
    sign_in(other, helpers[1])
    signal.note(phone, 26, "2026-04-10")

    signal.says(phone, "Somebody else has signed in here since: “Note work” is kept on this device until you sign in again.")
    assert signal.noted(phone, "2026-04-10") == []


def test_no_link_leaves_the_page_without_signal(grower: Walk):
    """A page that cannot be fetched is not asked for, and what is typed stays."""
    signal.lose(grower)
    grower.fill({"Minutes": 27, "Note": "half typed"})
    grower.page.get_by_role("link", name="Today", exact=True).click()
    signal.says(grower, "No signal: this needs a connection.")

    assert grower.typed("Note") == "half typed"
    signal.find(grower)
    signal.says(grower, "The connection is back.")
    grower.today()


def test_a_browser_that_keeps_nothing_says_so(grower: Walk):
    """Without signal the entry stays typed on the page; with it, it is sent as ever."""
    grower.page.add_init_script(KEEPS_NOTHING)
    grower.open(signal.NOTE)
    signal.lose(grower)
    signal.note(grower, 28, "2026-04-11")
    signal.says(grower, "This browser keeps nothing")
    assert grower.typed("Minutes") == "28"
    signal.find(grower)
    signal.says(grower, "The connection is back.")
    grower.record("Note it")

    assert signal.noted(grower, "2026-04-11") == ["28"]


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_the_list_of_what_waits_is_for_everybody(grower: Walk, size):
    """It fits the screen and has no fault for those who use the page otherwise."""
    signal.lose(grower)
    signal.note(grower, 3002, "2026-04-12", "a long note " * 12)
    signal.find(grower)
    signal.says(grower, "Not accepted:")
    signal.waiting(grower)
    grower.arrived()

    assert [one["id"] for one in Axe().run(grower.page).response["violations"]] == []


def test_a_press_waits_under_its_own_name_and_counts_once(grower: Walk):
    """What lacks is cancelled without signal, twice: the list says what each press does, the second finds too little left."""
    grower.open("/sales/orders/")
    grower.click(grower.main.locator("tbody th a").first)
    grower.follow("More is asked for")
    grower.fill({"How many": 7})
    grower.record("Note it")
    press = grower.main.get_by_role("button", name=re.compile(r"^Cancel \d+$")).first
    said = press.inner_text()
    signal.lose(grower)
    for waiting in ("1 entry waits", "2 entries wait"):
        press.click()
        signal.says(grower, f"{waiting} on this device")
    assert all(f": {said}" in one for one in signal.waiting(grower))

    signal.find(grower)
    signal.says(grower, "Not accepted:")
    assert len(signal.waiting(grower)) == 1
    signal.press(grower, "Open again")
    signal.says(grower, "This page is as things stand now, without")
    assert grower.main.get_by_role("button", name=said, exact=True).count() == 0


def test_an_entry_typed_after_going_back_is_another(grower: Walk):
    """Sent, gone back, other minutes typed and sent: the ledger has both."""
    with grower.page.expect_navigation():
        signal.note(grower, 21, "2026-04-20")
    grower.arrived()
    assert grower.says("Recorded.")

    grower.page.go_back()
    grower.arrived()
    with grower.page.expect_navigation():
        signal.note(grower, 22, "2026-04-20")
    grower.arrived()

    assert grower.says("Recorded.")
    assert signal.noted(grower, "2026-04-20") == ["21", "22"]
