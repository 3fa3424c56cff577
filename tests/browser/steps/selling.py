"""Steps of pricing and selling: ways, prices, stall, orders, invoices."""

from tests.browser.steps.boxing import PAPER
from tests.browser.walking import Walk

STANDING = ("Asked", "Promised", "Given back", "Lacks", "To pack", "Packed", "Sent")


def add_way(walk: Walk, name: str, *, trade: bool, margin: str, fee: str = "0") -> None:
    """A way of selling with its terms from the year's first day."""
    walk.go("sold", "Ways of selling")
    walk.follow("Add a way of selling")
    walk.fill({"Name": name, "Kind": "trade" if trade else "market stall", "Its prices are kept with tax": not trade})
    walk.record("Add it")
    walk.follow("Set its terms")
    day = {"Pitch and other fixed cost of a day": "20.00", "Usual takings of a day": "200.00"}
    stall = {**day, "Card fee or commission (%)": fee}
    deliveries = {"Carriage or delivery not charged on": "20.00", "Usual worth of a parcel or delivery": "200.00"}
    walk.fill(deliveries if trade else stall)
    walk.fill({"Margin wanted (%)": margin, "How prices end": "0.50", "From": "2024-01-01"})
    walk.record("Record")
    assert walk.says("in force")


def set_price(walk: Walk, line: str, way: str, amount: str, on: str) -> None:
    """A price of a line by a way from a day on."""
    walk.go("sold", "Price lists")
    walk.follow("Set a price")
    walk.fill({"Line": line, "Way of selling": way, "Price of one": amount, "From": on})
    walk.press("See what it does")
    walk.record("Set it")
    assert walk.says(amount)


def price_from_the_cost_sheet(walk: Walk, line: str, way: str) -> str:
    """The price the line's cost sheet proposes for a way."""
    open_cost_sheet(walk, line)
    assert walk.paper("As paper") in PAPER
    return walk.row(way)[3]


def open_cost_sheet(walk: Walk, line: str) -> None:
    """Open what a line costs."""
    walk.go("bunched", "Bunch lines")
    walk.follow(line)
    walk.follow("Its cost sheet")


def sell_fresh(walk: Walk, stems: int, price: str, on: str) -> None:
    """Sell stems of the lot the page is about, in water still."""
    walk.follow("Sell stems fresh")
    row = walk.main.locator("table.ruled tr").filter(has_text="in water").first
    row.get_by_role("spinbutton").first.fill(str(stems))
    row.locator("input.money").fill(price)
    walk.fill({"Day": on})
    walk.record("Sold")


def hold_a_stall(walk: Walk, name: str, line: str, sold: int, on: str) -> None:
    """A stall day and a sale at it by the price list."""
    walk.go("sold", "Stall days")
    walk.follow("Begin a stall day")
    walk.fill({"Name": name, "Way of selling": "Market stall", "Day": on})
    walk.record("Begin it")
    sell_a_line(walk, line, sold)


def sell_a_line(walk: Walk, line: str, sold: int) -> None:
    """Sell bunches of a line from the page shown."""
    walk.follow("Sell")
    walk.fill({f"{line}: how many": sold})
    walk.record("Sold")
    assert walk.says(f"Sold: {sold} × {line}. Together ")
    walk.follow("Look at this sale or undo it")
    assert walk.row(line)[1] == str(sold)


def add_customer(walk: Walk, name: str) -> None:
    """A trade customer."""
    walk.go("sold", "Customers")
    walk.follow("Add a customer")
    walk.fill({"Name": name, "Trade customer": True, "Address": "1 Mill Row\nNether Teasel", "Days to pay": 14})
    walk.record("Add it")


def take_order(walk: Walk, line: str, asked: int, on: str) -> None:
    """Promise so many bunches to the customer the page is about."""
    walk.follow("Take an order")
    walk.fill({f"{line}: asked for": asked, "Wanted for": on, "Customer's reference": "PO 7", "Day": on})
    walk.record("Promise it")
    promised = [str(asked), str(asked), "0", "0", str(asked), "0", "0"]
    assert standing(walk, line) == dict(zip(STANDING, promised, strict=True))


def standing(walk: Walk, line: str) -> dict[str, str]:
    """How a line of the order shown stands."""
    return dict(zip(STANDING, walk.row(line)[1:8], strict=True))


def pack_and_send(walk: Walk, line: str, bunches: int, on: str) -> None:
    """Pack part of the order shown from the first place proposed, and send it; end on the order."""
    walk.follow("Pack")
    row = walk.main.locator("table.ruled tbody tr").filter(has_text=line).first
    row.get_by_role("checkbox").check()
    row.get_by_role("spinbutton").first.fill(str(bunches))
    walk.fill({"Day": on})
    walk.record("Packed")
    assert standing(walk, line)["Packed"] == str(bunches)
    walk.follow("Send the parcel")
    walk.fill({"Day": on})
    walk.record("Sent")


def invoice(walk: Walk, on: str) -> None:
    """Invoice what was sent of the order shown; the invoice is a paper."""
    walk.follow("Invoice what was sent")
    walk.fill({"Day": on})
    walk.record("Issue the invoice")
    assert walk.paper("As paper") in PAPER


def credit(walk: Walk, bunches: int, why: str, on: str) -> None:
    """Credit bunches of the invoice shown; end on the invoice."""
    invoiced = walk.page.url
    walk.follow("Credit")
    walk.main.locator("table.ruled").get_by_role("spinbutton").first.fill(str(bunches))
    walk.fill({"Why": why, "Day": on})
    walk.record("Issue the credit")
    walk.open(invoiced)
    assert walk.says(why)


def get_paid(walk: Walk, on: str, owed: str = "Owed") -> None:
    """All that is owed of the invoice shown comes in; `owed`: what the page calls that."""
    amount = walk.fact(owed)
    walk.follow("Record a payment")
    walk.fill({"Amount": amount.strip("£€ "), "How it came": "bank", "Day": on})
    walk.record("Record")
    assert walk.fact(owed).strip("£ ") == "0.00"
