"""A wedding from quote to margin, at a phone and at a desk, from an empty ledger through the pages alone."""

import pytest

from tests.browser.conftest import asked
from tests.browser.steps import beginning, books, boxing, drying, growing, jobs, selling
from tests.browser.walking import Walk

pytestmark = [pytest.mark.browser, pytest.mark.filterwarnings("ignore::ResourceWarning")]

ASKED, AGREED, TAKEN, HELD, BACK, BILLED = (
    "2024-08-05", "2024-08-09", "2024-09-13", "2024-09-14", "2024-09-16", "2024-09-17",
)
VARIETY = "Larkspur Blue Heron"


def ten_bunches(walk: Walk, link: str) -> tuple[str, str]:
    """Ten bunches of ten in one box and a lot in water; return the line and the box."""
    beginning.set_up(walk, link)
    growing.add_plot(walk, "Long field", {"Bed 1": 20})
    variety = growing.add_variety(walk, "Larkspur", "Blue Heron", 14)
    growing.plant(walk, variety, "Bed 1", 140, "2024-04-02", **{"Planned cost of the season in all": "20.00"})
    beginning.buy_for_it(walk, "Plug plants", "Plants", "30.00", "6.00", "2024-04-02")
    drying.add_place(walk, "Loft", 60)
    growing.cut_round(walk, {variety: {"stems": 100}}, "2024-07-10")
    growing.open_lot(walk, variety)
    drying.hang(walk, 100, "Loft", 6, "2024-07-11")
    drying.take_down(walk, 100, {}, "2024-07-25")
    line, box = boxing.add_line(walk, "firsts", stems=10), boxing.begin_box(walk, "A1")
    boxing.bunch(walk, 100, [{"Line": line, "Made": 10, "Into the box": box}], 0, "2024-08-01")
    return line, box


def quoted(walk: Walk, line: str) -> str:
    """A bouquet at 90.00, four jars at 15.00, ten jars hired at 1.20: 162.00; return the job's page."""
    jobs.add_way(walk, "Weddings", "30")
    jobs.add_hire_item(walk, "glass jar", "1.20", "3.60", 10)
    jobs.add_customer(walk, "Fennel and Rook")
    job = jobs.enter(walk, "Barn wedding", "Fennel and Rook", "Weddings", HELD, ASKED)
    reckoned = jobs.add_bouquet(walk, line, VARIETY, ASKED)
    assert 20 < books.minor(reckoned) / 100 < 60
    jobs.add_piece(walk, "Jar for a table", 4, "15.00", 10, (line, 10), ASKED)
    jobs.on_it(walk, "Hire something out with it", "Plan it", {
        "What": "glass jar", "How many": 10, "Out from": TAKEN, "Back by": BACK, "Day": ASKED,
    })
    assert walk.fact("Quoted").startswith("162.00")
    assert jobs.is_paper(walk, "The quote as paper") and jobs.is_paper(walk, "List to take along")
    return job


def agreed_and_changed(walk: Walk, line: str) -> None:
    """A deposit of 50.00; six bunches kept, one more for a fifth jar: 177.00."""
    jobs.on_it(walk, "The customer agrees", "Agreed", {"Day": AGREED})
    jobs.on_it(walk, "Take a deposit", "Taken", {"Amount": "50.00", "How it came": "bank", "Day": AGREED})
    jobs.on_it(walk, "Keep what it needs", "Keep what is free", {"Day": AGREED})
    jobs.change_number(walk, "Jar for a table", 5, "2024-08-20")
    assert walk.fact("Quoted").startswith("177.00") and walk.fact("Deposits held").strip("£ ") == "50.00"
    jobs.on_it(walk, "Keep what it needs", "Keep what is free", {"Day": "2024-08-20"})
    assert jobs.needed(walk, line) == ["bunches", "7", "7", "0", "0", "0"]


def taken_and_back(walk: Walk, job: str, line: str, box: str) -> None:
    """Seven bunches, ten stems, ten jars along; a bunch and nine jars back, one broken."""
    growing.cut_round(walk, {VARIETY: {"stems": 40}}, TAKEN)
    walk.open(job)
    jobs.take_along(walk, "Take bunches for it", line, TAKEN)
    jobs.take_along(walk, "Take fresh stems for it", VARIETY, TAKEN)
    jobs.on_it(walk, "Send out", "They left", {"How many left": 10, "Day": TAKEN})
    beginning.buy_for_it(walk, "Five roses", "Inputs", "4.50", "0.90", TAKEN)
    walk.open(job)
    jobs.on_it(walk, "It is done", "It is done", {"Day": HELD})
    jobs.came_back(walk, line, 1, box, BACK)
    jobs.on_it(walk, "Bring back", "Back", {"Back whole": 9, "Broken or lost": 1, "Day": BACK})
    assert walk.says("charged 3.60")


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_a_wedding_from_quote_to_margin(newcomer: Walk, empty_ledger, size):
    """177.00 and 3.60 for a jar, 50.00 of it paid ahead; the margin page says what was left, and the beds earned it."""
    walk, (folder, link) = newcomer, empty_ledger
    line, box = ten_bunches(walk, link)
    job = quoted(walk, line)
    agreed_and_changed(walk, line)
    taken_and_back(walk, job, line, box)
    jobs.on_it(walk, "Invoice it", "Issue the invoice", {"Day": BILLED})
    assert walk.fact("Sum").strip("£ ") == "180.60" and walk.fact("Left to pay").strip("£ ") == "130.60"
    selling.get_paid(walk, "2024-09-30", owed="Left to pay")
    walk.open(job)
    walk.follow("Planned and actual margin")
    assert walk.row("Net")[1:3] == ["147.50", "150.50"]
    assert jobs.is_paper(walk, "As paper")
    walk.open(job)
    assert boxing.holds(walk, box, line) == "4"
    earned = asked(folder, "bed_earnings", "--season", "2024")
    assert earned["rows"][0]["income"] == "133.39", earned["rows"][0]
    assert books.proves(walk)
    assert asked(folder, "prove")["ok"]
