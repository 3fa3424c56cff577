"""Steps without signal: losing it and getting it back, work noted meanwhile, what the top of the page says."""

from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Locator, Route

from tests.browser.walking import Walk, plain

NOTE = "/daybook/work/note/"


def lose(walk: Walk) -> None:
    """No signal from now on, as the browser learns of it."""
    walk.page.context.set_offline(True)
    says(walk, "No signal.")


def find(walk: Walk) -> None:
    """The signal is there again."""
    walk.page.context.set_offline(False)


def note(walk: Walk, minutes: int, on: str, words: str = "") -> None:
    """Send an entry of work on the store from the page shown, which stays or not."""
    walk.fill({"Worker": "Marget", "Minutes": minutes, "Spent on": "the store", "Day": on, "Note": words})
    walk.main.get_by_role("button", name="Note it", exact=True).click()


def noted(walk: Walk, on: str) -> list[str]:
    """The minutes the ledger has of that day, looked up in a tab of their own."""
    other = walk.another_tab()
    other.open(f"/daybook/work/?since={on}&until={on}")
    found = [plain(cell).strip() for cell in other.main.locator("tbody tr:not(.nothing) td.number").all_inner_texts()]
    other.page.close()
    return sorted(found)


@contextmanager
def answers_lost(walk: Walk) -> Iterator[None]:
    """Meanwhile entries reach the ledger, and its answers do not come back."""

    def lost(route: Route) -> None:
        if route.request.method == "POST":
            route.fetch()
            route.abort()
        else:
            route.continue_()

    walk.page.route(f"**{NOTE}", lost)
    yield
    walk.page.unroute(f"**{NOTE}")


def top(walk: Walk) -> Locator:
    """What stands at the top of the page about entries that wait."""
    return walk.page.get_by_role("complementary", name="What waits on this device")


def says(walk: Walk, words: str) -> None:
    """Wait until the top of the page says so."""
    top(walk).get_by_text(words).first.wait_for()


def waiting(walk: Walk) -> list[str]:
    """What the entries that wait say, unfolded."""
    if top(walk).locator("details:not([open]) summary").is_visible():
        top(walk).locator("summary").click()
    return [plain(entry) for entry in top(walk).locator("li.waiting-entry").all_inner_texts()]


def none_waits(walk: Walk) -> None:
    """Wait until everything is sent."""
    top(walk).locator("details").wait_for(state="hidden")


def press(walk: Walk, button: str) -> None:
    """Press a button of the first entry that waits."""
    waiting(walk)
    top(walk).get_by_role("button", name=button).first.click()
