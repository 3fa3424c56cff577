"""Steps of a market day: loading, selling on two phones, the tin, what comes back, what the cards paid out."""

from tests.browser.steps import signal
from tests.browser.walking import Walk, plain


def begin(walk: Walk, name: str) -> str:
    """A stall day of today; return its page."""
    walk.go("sold", "Stall days")
    walk.follow("Begin a stall day")
    walk.fill({"Name": name, "Way of selling": "Market stall"})
    walk.record("Begin it")
    return walk.page.url


def load(walk: Walk, boxes: list[str]) -> None:
    """Tick boxes of the loading list; the day's page shows them."""
    walk.follow("Load boxes")
    for box in boxes:
        walk.main.locator("form label").filter(has_text=box).get_by_role("checkbox").check()
    walk.record("Loaded")
    assert all(walk.main.get_by_role("link").filter(has_text=box).count() for box in boxes)


def count_tin(walk: Walk, amount: str) -> None:
    """Count the tin, before or after as the page proposes."""
    walk.follow("Count the tin")
    walk.fill({"Cash in the tin": amount})
    walk.record("Counted")


def sell(walk: Walk, day: str, line: str, sold: int, *, paid: str, price: str = "", why: str = "") -> int:
    """Sell by the ruled list, at another price for a reason; return the price of one in minor units."""
    walk.open(day)
    walk.follow("Sell")
    changed = {f"{line}: price of one": price, "Why another price": why} if price else {}
    walk.fill({f"{line}: how many": sold, paid: True, **changed})
    each = minor(walk.typed(f"{line}: price of one"))
    assert walk.main.locator("output").inner_text() == major(sold * each)
    walk.record("Sold")
    assert walk.says(f"Sold: {sold} × {line}. Together ") and walk.says(f", {paid}.")
    return each


def sell_as_seconds(walk: Walk, day: str, line: str, sold: int, price: str) -> None:
    """Damaged ones put down and sold, in cash."""
    walk.open(day)
    walk.follow("Sell damaged ones as seconds")
    walk.fill({"Bunch line": line, "How many": sold, "Price of one": price, "cash": True})
    walk.record("Sold")
    assert walk.says("Put down to seconds")


def sell_without_signal(walk: Walk, line: str, sold: int, waiting: str) -> int:
    """Sell from the page that stands open; it is kept, and the form is ready for the next. Return the price of one."""
    walk.fill({f"{line}: how many": sold, "card": True})
    each = minor(walk.typed(f"{line}: price of one"))
    walk.main.get_by_role("button", name="Sold", exact=True).click()
    signal.says(walk, waiting)
    assert walk.typed(f"{line}: how many") == ""
    assert walk.main.locator("output").inner_text() == "0.00"
    assert walk.main.get_by_label("cash", exact=True).is_checked()
    return each


def came_back(walk: Walk, line: str, box: str) -> int:
    """How many of a line the page that puts away expects in a box."""
    fields = walk.main.get_by_role("spinbutton", name=f"{line} in {box}: came back", exact=True)
    return sum(int(field.input_value()) for field in fields.all())


def throw_out(walk: Walk, line: str, box: str, number: int, why: str) -> None:
    """So many of the first batch of a line in a box, for a reason."""
    walk.fill({f"{line} in {box}: thrown out of those": number, "Why thrown out": why})


def paid_out(walk: Walk, on: str, gross: int, fee: str) -> None:
    """The cards of one day paid out less a fee."""
    walk.go("sold", "Card payouts")
    walk.follow("Record a card payout")
    days = {"First day of sale": on, "Last day of sale": on}
    walk.fill({"Way of selling": "Market stall", **days, "Card sales by the payout": major(gross), "Fee kept": fee})
    walk.record("Record")
    assert plain(walk.fact("Difference")).strip("£€ ") == "0.00"


def minor(typed: str) -> int:
    """An amount as typed, in minor units."""
    return int(typed.replace(".", ""))


def major(amount: int) -> str:
    """Minor units as typed.

    >>> major(2405)
    '24.05'
    """
    return f"{amount // 100}.{amount % 100:02d}"
