"""The first steps: setting up, workers, ground, plants."""

from tests.browser.walking import Walk

PASSWORD = "teasel-and-honesty"


def set_up(walk: Walk, link: str) -> None:
    """Fill in the set-up page the first start names; come in as the owner."""
    walk.open(link)
    walk.fill({
        "Name of the holding": "Hollow Lane Flowers", "Address": "Hollow Lane\nNether Teasel", "Currency": "GBP",
        "Time zone": "UTC", "The books' year ends in": "December", "on day": 31, "A season begins in": "January",
        "Tax rate in per cent, where registered": "20", "That tax status holds from": "2023-01-01",
        "Your name to sign in with": "rowan", "Your password": PASSWORD,
    })
    walk.main.get_by_label("Tax status", exact=True).select_option(label="registered")
    walk.record("Begin")
    assert walk.title() == "Today"


def sign_in(walk: Walk) -> None:
    """Sign in by name and password."""
    walk.open("/sign-in/")
    walk.page.locator("[name=username]").fill("rowan")
    walk.page.locator("[name=password]").fill(PASSWORD)
    walk.press("Sign in")
    assert walk.title() == "Today"


def add_worker(walk: Walk, name: str, per_hour: str) -> None:
    """A paid worker with a rate from the year's first day."""
    walk.go("daybook", "Workers")
    walk.follow("Add a worker")
    walk.fill({"Name": name})
    walk.record("Add")
    walk.follow("Enter a rate")
    walk.fill({"Cost of an hour": per_hour, "Day": "2024-01-01"})
    walk.record("Record")
    assert walk.says(per_hour)


def lay_out_ground(walk: Walk) -> None:
    """A plot with what it costs in 2024, and a bed on it."""
    walk.go("bed", "Plots")
    walk.follow("Add a plot")
    walk.fill({"Name": "Long field", "Kind": "open ground", "Area (m2)": "200"})
    walk.record("Add it")
    walk.follow("Enter its cost for a year")
    walk.fill({
        "Year (in which it ends)": 2024, "Expected cost of the year": "365.00", "Room used in a usual year": "100",
        "on so many days of it": 200, "Where that comes from": "last three years", "Day": "2024-01-01",
    })
    walk.record("Record")
    walk.go("bed", "Plots")
    walk.follow("Long field")
    assert walk.says("365.00")
    walk.follow("Add a bed")
    walk.fill({"Name": "Bed 1", "Area (m2)": "20"})
    walk.record("Add it")


def name_the_plant(walk: Walk) -> None:
    """A species with a caution, and a variety of it."""
    walk.go("bed", "Species")
    walk.follow("Add a species")
    walk.fill({
        "Name": "Larkspur", "Botanical name": "Consolida", "Caution": "Poisonous in all its parts: wear gloves.",
        "Expected stems to the m2 in a season": 40, "Days to dry": 14,
    })
    walk.record("Add it")
    walk.follow("Add a variety")
    walk.fill({"Name": "Blue Heron", "Colour": "blue"})
    walk.record("Add it")
    assert walk.says("Poisonous in all its parts")


def plant(walk: Walk) -> None:
    """A planting in half the bed with its expected stems."""
    walk.follow("Plant it")
    walk.fill({
        "Bed": "Bed 1", "Area (m2)": "10", "Day": "2024-04-02", "Season in which it is cut": 2024,
        "Expected stems of the season": 400, "Planned cost of the season in all": "150.00",
    })
    walk.record("Plant it")
    assert walk.says("Planted 2 Apr 2024 in Long field Bed 1.")


def pay_the_rent(walk: Walk, net: str) -> None:
    """A bill for the plot that covers the year."""
    walk.go("bed", "Plots")
    walk.follow("Long field")
    walk.follow("Enter a purchase for it")
    walk.fill({
        "Day": "2024-01-03", "Supplier": "Quillwort Estate", "What was bought": "Rent of 2024", "Kind of cost": "Rent",
        "Net": net, "Covers from": "2024-01-01", "to and including": "2024-12-31",
    })
    walk.record("Record")
    assert walk.says("Rent of 2024")


def work_on_it(walk: Walk, worker: str, minutes: int, task: str, on: str) -> None:
    """Note work on the record the page is about."""
    walk.follow("Note work on it")
    walk.fill({"Worker": worker, "Minutes": minutes, "Task": task, "Day": on})
    walk.record("Note it")
    assert walk.says(str(minutes))


def buy_for_it(walk: Walk, what: str, kind: str, net: str, tax: str, on: str) -> None:
    """Enter a purchase for the record the page is about."""
    walk.follow("Enter a purchase for it")
    walk.fill({
        "Day": on, "Supplier": "Nether Teasel Nursery", "Reference on the bill": "417",
        "What was bought": what, "Kind of cost": kind, "Net": net, "Tax": tax,
    })
    walk.record("Record")
    assert walk.says(what)
