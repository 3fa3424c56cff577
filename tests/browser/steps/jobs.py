"""Steps of a job: quoted by pieces, agreed, kept for, taken along, back, done, billed."""

from typing import Any

from tests.browser.steps.boxing import PAPER
from tests.browser.walking import Walk


def add_way(walk: Walk, name: str, margin: str) -> None:
    """Made-up work with an hour at 12.00, prices with tax."""
    walk.go("sold", "Ways of selling")
    walk.follow("Add a way of selling")
    walk.fill({"Name": name, "Kind": "made-up work", "Its prices are kept with tax": True})
    walk.record("Add it")
    walk.follow("Set its terms")
    walk.fill({"Margin wanted (%)": margin, "What such an hour costs": "12.00", "From": "2024-01-01"})
    walk.record("Record")


def add_customer(walk: Walk, name: str) -> None:
    """Somebody who is no florist."""
    walk.go("sold", "Customers")
    walk.follow("Add a customer")
    walk.fill({"Name": name, "Trade customer": False, "Address": "3 Mill Row\nNether Teasel", "Days to pay": 14})
    walk.record("Add it")


def add_hire_item(walk: Walk, name: str, charge: str, breakage: str, owned: int) -> None:
    """So many of a thing to hire out since the year began."""
    walk.go("sold", "Things for hire")
    walk.follow("Add a thing for hire")
    walk.fill({
        "Name": name, "Hire of one": charge, "Charge for one broken or lost": breakage, "How many there are": owned,
        "From the day": "2024-01-01",
    })
    walk.record("Add it")


def enter(walk: Walk, name: str, customer: str, way: str, held_on: str, on: str) -> str:
    """A wedding asked about; return its page."""
    walk.go("sold", "Jobs")
    walk.follow("Enter a job")
    walk.fill({
        "What it is called": name, "Kind": "wedding", "Customer": customer, "Way of selling": way, "Day of the job": held_on,
        "Asked about on": on,
    })
    walk.record("Enter it")
    return walk.page.url


def add_piece(walk: Walk, name: str, quantity: int, price: str, minutes: int, dried: tuple[str, int], on: str) -> None:
    """A piece of one dried line to the job shown."""
    walk.follow("Add a piece")
    walk.fill({"Piece": name, "How many": quantity, "Work on one, minutes": minutes})
    walk.fill({"Bunch line": dried[0], "Stems in one": dried[1], "Price of one": price, "Day": on})
    walk.record("Add it")


def add_bouquet(walk: Walk, line: str, variety: str, on: str) -> str:
    """One bouquet of twenty dried and ten fresh stems and five roses bought in; return the price the page reckons."""
    walk.follow("Add a piece")
    walk.fill({"Piece": "Bouquet", "How many": 1, "Work on one, minutes": 60, "Bunch line": line, "Stems in one": 20})
    walk.open_up("Fresh, of your own")
    walk.fill({"Variety": variety})
    walk.main.locator("details.sift").filter(has_text="Fresh, of your own").get_by_label("Stems in one").first.fill("10")
    walk.open_up("Bought in for it")
    bought = walk.main.locator("details.sift").filter(has_text="Bought in for it")
    bought.get_by_label("For one").first.fill("5")
    walk.fill({"Bought in": "rose", "Net cost of each": "0.90", "Day": on})
    walk.press("Reckon a price")
    reckoned = walk.main.locator("section p strong").inner_text().split(":")[-1]
    walk.fill({"Price of one": "90.00"})
    walk.record("Add it")
    return reckoned


def on_it(walk: Walk, link: str, button: str, fields: dict[str, Any]) -> None:
    """Follow a link of the job shown, fill in and record; end on the job."""
    walk.follow(link)
    walk.fill(fields)
    walk.record(button)


def change_number(walk: Walk, piece: str, quantity: int, on: str) -> None:
    """So many of a piece instead."""
    row = walk.main.locator("tr").filter(has_text=piece).first.locator("xpath=following-sibling::tr[1]")
    walk.click(row.get_by_role("link", name="Change or reckon"))
    walk.fill({"How many": quantity, "Day": on})
    walk.record("Change it")


def needed(walk: Walk, what: str) -> list[str]:
    """The cells beneath something that is needed: its unit, needed, kept, taken, came back, still to find."""
    row = walk.main.locator("tr.of").filter(has_text=what).first.locator("xpath=following-sibling::tr[1]")
    return [cell.strip() for cell in row.locator("td").all_inner_texts()]


def take_along(walk: Walk, link: str, what: str, on: str) -> None:
    """Tick what is proposed of something."""
    walk.follow(link)
    walk.main.locator("table.ruled tr").filter(has_text=what).first.get_by_role("checkbox").check()
    walk.fill({"Day": on})
    walk.record("Taken")


def came_back(walk: Walk, line: str, bunches: int, box: str, on: str) -> None:
    """Bunches of a line back into a box."""
    walk.follow("Put back what came back")
    walk.main.locator("table.ruled tr").filter(has_text=line).first.get_by_role("spinbutton").fill(str(bunches))
    walk.fill({"Into the box": box, "Day": on})
    walk.record("Put it back")


def is_paper(walk: Walk, label: str) -> bool:
    """Whether the link gives a paper."""
    return walk.paper(label) in PAPER
