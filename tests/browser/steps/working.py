"""Steps in the daybook: work on several things, the clock, materials."""

from collections.abc import Sequence

from tests.browser.walking import Walk


def share_work(walk: Walk, worker: str, minutes: int, task: str, things: Sequence[str], how: str, on: str) -> None:
    """One entry of work that several things share; end on the entry."""
    walk.go("daybook", "Work")
    walk.follow("Note work")
    walk.fill({"Worker": worker, "Minutes": minutes, "Task": task, "Day": on, "Several share it": how})
    walk.choose("Spent on", things)
    walk.record("Note it")


def parts(walk: Walk) -> dict[str, str]:
    """The parts of the entry shown, by what it was spent on."""
    cells = [row.locator("th, td").all_inner_texts() for row in walk.main.locator("tbody tr").all()]
    return {cell[0].strip(): cell[-1].strip() for cell in cells}


def run_the_clock(walk: Walk, worker: str, task: str, things: Sequence[str]) -> None:
    """Start the clock, find it on the first page, stop it there; end on the entry."""
    walk.go("daybook", "The clock")
    walk.follow("Start the clock")
    walk.fill({"Worker": worker, "Task": task})
    walk.choose("Spent on", things)
    walk.record("Start")
    walk.today()
    walk.follow_with(f"The clock runs for {worker}")
    walk.record("Stop")
    assert walk.fact("Worker") == worker


def add_material(walk: Walk, name: str) -> str:
    """A material counted in pieces; return its page."""
    walk.go("daybook", "Materials")
    walk.follow("Add a material")
    walk.fill({"Name": name, "Counted in": "pieces"})
    walk.record("Add it")
    return walk.page.url


def buy_material(walk: Walk, pieces: int, net: str, on: str) -> None:
    """A purchase of the material shown."""
    walk.follow("Enter a purchase of it")
    walk.fill({
        "Day": on, "Supplier": "Nether Teasel Supplies", "What was bought": "Paper bags", "Kind of cost": "Craft materials",
        "Net": net, "How many, of a material": pieces,
    })
    walk.record("Record")


def use_material(walk: Walk, pieces: int, used_for: str, on: str) -> None:
    """Use so much of the material shown for one thing."""
    walk.follow("Use some")
    walk.fill({"How many, of its unit": pieces, "Used for": used_for, "Day": on})
    walk.record("Note it")
