"""Steps at the bench and the shelves: lines, runs, boxes, counts."""

from typing import Any

from playwright.sync_api import Locator

from tests.browser.walking import Walk

PAPER = {"application/pdf", "text/html"}


def add_line(
    walk: Walk, grade: str, *, stems: int | None = None, grams: int | None = None, variety: str = "Blue Heron"
) -> str:
    """A bunch line or a weight of the variety; return its name."""
    walk.go("bunched", "Bunch lines")
    walk.follow("Add a line")
    size = {"Sold by": "bunch", "Stems to the bunch": stems} if stems else {"Sold by": "weight", "Grams to the unit": grams}
    walk.fill({"Variety": variety, "Grade": grade, "Finish": "natural", **size})
    walk.record("Add it")
    return walk.title()


def begin_box(walk: Walk, shelf: str) -> str:
    """A box on a shelf; return its id."""
    walk.go("boxed", "Boxes")
    walk.follow("Begin a box")
    walk.fill({"Shelf": shelf})
    walk.record("Begin it")
    return walk.title().removeprefix("Box ")


def bunch(walk: Walk, stems: int, made: list[dict[str, Any]], lost: int, on: str) -> None:
    """A run from the only loose hanging into lines, some of them into boxes."""
    walk.go("bunched", "Runs")
    walk.follow("Bunch")
    walk.main.get_by_role("group", name="Stems from").get_by_role("spinbutton").first.fill(str(stems))
    if len(made) > 2:
        walk.main.get_by_text("More lines made").click()
    for row, line in enumerate(made, start=1):
        walk.fill(line, within=f"Made, line {row}")
    walk.fill({"Stems lost in bunching": lost, "Day": on})
    walk.record("Bunched")
    assert walk.fact("Stems in") == str(stems)


def bunch_all(walk: Walk, variety: str, line: str, made: int, box: str, on: str) -> None:
    """One run of all that is loose of a variety into one line and one box."""
    walk.go("bunched", "Runs")
    walk.follow("Bunch")
    for field in walk.main.get_by_role("group", name="Stems from").locator(".field").filter(has_text=variety).all():
        field.get_by_role("spinbutton").fill(field.locator(".help").inner_text().split()[0])
    walk.fill({"Line": line, "Made": made, "Into the box": box}, within="Made, line 1")
    walk.fill({"Day": on})
    walk.record("Bunched")


def holds(walk: Walk, code: str, line: str) -> str:
    """How many of a line the record says are in a box."""
    open_box(walk, code)
    return row_of(walk, line).locator("b").first.inner_text()


def row_of(walk: Walk, words: str) -> Locator:
    """The first row with these words of what is in the box that is open."""
    return walk.main.locator(".inside > li").filter(has_text=words).first


def do_with(walk: Walk, words: str, label: str) -> None:
    """Press what can be done with one row of the box that is open; a thumb hits it."""
    link = row_of(walk, words).get_by_role("link", name=label, exact=True)
    size = link.bounding_box()
    assert size is not None and size["height"] >= 44 and size["width"] >= 44
    walk.click(link)


def open_box(walk: Walk, code: str) -> None:
    """Type a box id on the first page."""
    walk.today()
    walk.fill({"Box id": code})
    walk.press("Open the box")
    assert walk.title() == f"Box {code}"


def look_at_label(walk: Walk, code: str) -> None:
    """The box's label is a paper."""
    open_box(walk, code)
    assert walk.says("Poisonous in all its parts")
    assert walk.paper("Label") in PAPER


def move(walk: Walk, line: str, bunches: int, source: str, target: str, on: str) -> None:
    """Move bunches of a line from box to box."""
    open_box(walk, source)
    do_with(walk, line, "Move")
    walk.fill({"Which": line, "How many": bunches, "Into the box": target, "Day": on})
    walk.record("Move them")


def count(walk: Walk, code: str, line: str, there: int, on: str) -> None:
    """Count one line in a box; the difference is put right."""
    open_box(walk, code)
    walk.follow("Count it")
    field = walk.main.locator(".field").filter(has_text=line).get_by_role("spinbutton").first
    field.fill(str(there))
    walk.fill({"Note": "January shelves", "Day": on})
    walk.record("Counted")
    assert walk.says("written off")
