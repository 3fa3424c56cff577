"""Steps of orders that are short: terms, what lacks, fewer found, something else packed, sent in parts."""

from tests.browser.walking import Walk


def set_order_terms(walk: Walk, way: str, least: str, carriage: str, free_from: str) -> None:
    """What orders by a way go by from the year's first day."""
    walk.go("sold", "Ways of selling")
    walk.follow(way)
    walk.follow("What orders go by")
    walk.follow("Set least order and carriage")
    walk.fill({"Least order, net": least, "Carriage charged, net": carriage, "No carriage from, net": free_from})
    walk.fill({"From": "2024-01-01"})
    walk.record("Record")
    assert walk.says(f"The least order is {least}, net.")


def take_short_order(walk: Walk, line: str, asked: int, promised: int, on: str) -> None:
    """Ask for more than is promised; one bunch alone is below the least order."""
    walk.follow("Take an order")
    walk.fill({f"{line}: asked for": 1, f"{line}: promised": 1, "Day": on})
    walk.press("Promise it")
    assert "The least order is" in walk.refusals()[0]
    walk.fill({f"{line}: asked for": asked, f"{line}: promised": promised})
    walk.record("Promise it")


def put_in_instead(walk: Walk, line: str, bunches: int, on: str) -> None:
    """Another line in the place of what lacks on the order shown."""
    walk.follow("Put another line in instead")
    walk.fill({"Instead": line, "How many": bunches, "Day": on})
    walk.record("Promise it instead")


def say_later(walk: Walk, bunches: int, hoped_for: str, on: str) -> None:
    """So many to come later."""
    walk.follow("Say how many come later")
    walk.fill({"How many": bunches, "Hoped for by": hoped_for, "Day": on})
    walk.record("Note it")


def cancel(walk: Walk, bunches: int, on: str) -> None:
    """So many fewer of the first line of the order shown."""
    walk.follow("Cancel in part")
    walk.fill({"How many": bunches, "Day": on})
    walk.record("Cancel them")


def find_only(walk: Walk, line: str, there: int, on: str) -> None:
    """The first place of a line holds fewer than it should: take what is there, and it is counted."""
    walk.follow("Pack")
    row = walk.main.locator("table.ruled tbody tr").filter(has_text=line).first
    row.get_by_role("checkbox").check()
    for number in row.get_by_role("spinbutton").all():
        number.fill(str(there))
    walk.fill({"Day": on})
    walk.record("Packed")


def pack_instead(walk: Walk, line: str, bunches: int, on: str) -> None:
    """Pack something else in the place of what is on no shelf."""
    walk.follow("Pack something else instead")
    walk.main.locator("label").filter(has_text=line).first.click()
    walk.fill({"How many": bunches, "Day": on})
    walk.record("Packed")


def pack_line(walk: Walk, line: str, on: str) -> None:
    """Pack all that is proposed from the first place of a line; end on the order."""
    walk.follow("Pack")
    row = walk.main.locator("table.ruled tbody tr").filter(has_text=line).first
    row.get_by_role("checkbox").check()
    walk.fill({"Day": on})
    walk.record("Packed")


def send(walk: Walk, on: str) -> None:
    """Send the parcel of the order shown; the note goes with it."""
    walk.follow("Send the parcel")
    walk.fill({"Day": on})
    walk.record("Sent")
    assert walk.paper("Dispatch note") in {"application/pdf", "text/html"}
