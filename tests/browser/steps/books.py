"""Steps at the kitchen table: value, closing, proof, and down to one entry."""

from tests.browser.steps.boxing import PAPER
from tests.browser.walking import Walk

METHODS = ("traced to the batch", "first in, first out", "moving average", "average of the period")
PUT_RIGHT = "earlier years put right"


def value_stock(walk: Walk, method: str, since: str, on: str) -> dict[str, str]:
    """The flows of a stretch by one method, by name as shown."""
    walk.go("valued", "Value of the stock")
    walk.fill({"At the end of": on, "Flows since": since, "Method": method})
    walk.press("Show")
    assert walk.says(method)
    assert walk.paper("As paper") in PAPER
    rows = walk.main.locator("table.flows tr").all()
    return {row.locator("th").inner_text(): row.locator("td").inner_text() for row in rows}


def minor(amount: str) -> int:
    """An amount as shown, in pence."""
    digits = "".join(one for one in amount if one.isdecimal())
    return -int(digits) if amount.strip().startswith(("-", "−")) else int(digits or 0)


def both_sides(flows: dict[str, str]) -> tuple[int, int]:
    """What came in and what went out, added up from the rows shown."""
    names = list(flows)
    middle = names.index("To account for")
    last = names.index("Accounted for")
    came = sum(minor(flows[name]) for name in names[:middle])
    went = sum(minor(flows[name]) for name in names[middle + 1 : last])
    assert minor(flows["To account for"]) == came
    assert minor(flows["Accounted for"]) == went
    return came, went


def open_earnings(walk: Walk, season: int) -> None:
    """What each bed earned in a season."""
    walk.go("valued", "Bed earnings")
    walk.fill({"Season": season})
    walk.press("Show")


def earnings(walk: Walk, season: int) -> list[str]:
    """The cells of the only planting's row."""
    open_earnings(walk, season)
    return walk.row("Blue Heron")


def open_losses(walk: Walk, season: int) -> None:
    """What a season's stems were lost to."""
    walk.go("valued", "A season's losses")
    walk.fill({"Season": season})
    walk.press("Show")
    assert walk.title() == f"Losses, season {season}"


def open_cost(walk: Walk) -> None:
    """Open what the record shown cost."""
    walk.click(walk.main.locator(".figure a").first)
    assert walk.title().startswith("What ")


def went(walk: Walk, where: str) -> str:
    """How much of the cost shown went there."""
    table = walk.main.locator("h2", has_text="Where it went").locator("xpath=following-sibling::table[1]")
    return table.locator("tr").filter(has_text=where).locator("td").first.inner_text()


def proves(walk: Walk) -> bool:
    """Whether the page of the proof finds no differences."""
    walk.go("valued", "The proof")
    return walk.says("No differences.")


def close_year(walk: Walk, on: str) -> None:
    """Close the year that ends on a day."""
    walk.go("valued", "Closed years")
    walk.follow("Close a year")
    walk.fill({"Last day of the year": on})
    walk.record("Close the year")
    assert walk.says("2024")


def put_right(walk: Walk) -> int:
    """What the proof says of earlier years put right, in pence; there are no differences."""
    walk.go("valued", "The proof")
    assert walk.says("No differences.")
    found = walk.main.locator("tr").filter(has_text=PUT_RIGHT)
    return minor(found.locator("td").first.inner_text()) if found.count() else 0


def down_to_one_entry(walk: Walk, words: tuple[str, ...]) -> None:
    """From a cost sheet, by the links of where each figure comes from, until a single entry is open."""
    walk.follow_with("down to the single entry")
    for word in words:
        assert walk.title().startswith("What ")
        walk.click(walk.main.locator("table").first.get_by_role("link").filter(has_text=word).first)


def stems_earning(walk: Walk, planting: str) -> str:
    """The stems beside a planting's name on the open page of earnings; its figures stand under its name."""
    return walk.main.locator("tbody").filter(has_text=planting).first.locator("td").first.inner_text().strip()
