"""Steps in the field: ground, plants, trays, cutting rounds, clearing."""

from typing import Any

from tests.browser.walking import Walk


def add_plot(walk: Walk, name: str, beds: dict[str, int]) -> None:
    """A plot and beds of so many m2 on it."""
    walk.go("bed", "Plots")
    walk.follow("Add a plot")
    walk.fill({"Name": name, "Kind": "open ground", "Area (m2)": 200})
    walk.record("Add it")
    plot = walk.page.url
    for bed, area in beds.items():
        walk.open(plot)
        walk.follow("Add a bed")
        walk.fill({"Name": bed, "Area (m2)": area})
        walk.record("Add it")


def add_variety(walk: Walk, species: str, variety: str, days_to_dry: int) -> str:
    """A species and a variety of it; return what both are called together."""
    walk.go("bed", "Species")
    walk.follow("Add a species")
    walk.fill({"Name": species, "Days to dry": days_to_dry})
    walk.record("Add it")
    walk.follow("Add a variety")
    walk.fill({"Name": variety})
    walk.record("Add it")
    return f"{species} {variety}"


def plant(walk: Walk, variety: str, bed: str, stems: int, on: str, **more: Any) -> str:
    """A planting in all that is free of a bed, so many stems expected of it; return its page."""
    walk.go("bed", "Plantings")
    walk.follow("Plant")
    given = {
        "Variety": variety, "Bed": bed, "Day": on, "Season in which it is cut": on[:4], "Expected stems of the season": stems,
    }
    walk.fill({**given, **more})
    walk.record("Plant it")
    return walk.page.url


def sow_in_trays(walk: Walk, variety: str, plants: int, stems: int, on: str) -> str:
    """So many plants raised without a bed yet; return the planting's page."""
    walk.go("bed", "Plantings")
    walk.follow("Begin without a bed")
    walk.fill({
        "Variety": variety, "How it begins": "raised in trays", "Plants raised, where counted": plants, "Day": on,
        "Season in which it is cut": on[:4], "Expected stems of the season": stems,
    })
    walk.record("Begin it")
    assert walk.fact("Bed") == "none"
    return walk.page.url


def plant_out(walk: Walk, bed: str, plants: int, on: str) -> None:
    """Set so many plants of the planting shown out in all that is free of a bed."""
    walk.follow("Plant it out")
    walk.fill({"Bed": bed, "Plants set out, where counted": plants, "Day": on})
    walk.record("Planted out")
    assert bed in walk.fact("Bed")


def throw_spare_away(walk: Walk, plants: int, on: str) -> None:
    """Throw so many plants of the planting shown away; none are left then."""
    walk.follow("Throw spare plants away")
    walk.fill({"Plants thrown away": plants, "Why": "no bed free", "Day": on})
    walk.record("Thrown away")
    assert walk.fact("How it began").endswith("0 of them left")


def open_cutting_round(walk: Walk, on: str) -> None:
    """The sheet through the beds of a day."""
    walk.go("bed", "Plantings")
    walk.follow("Cut round the beds")
    walk.open_up("Another day's sheet")
    walk.main.get_by_label("Day", exact=True).last.fill(on)
    walk.press("Show")
    assert walk.typed("Day") == on


def cut_round(walk: Walk, cut: dict[str, dict[str, Any]], on: str) -> None:
    """Fill in the sheet of a day for some varieties; end on the lots of that day."""
    open_cutting_round(walk, on)
    for variety, said in cut.items():
        walk.fill({f"{variety}: {what}": value for what, value in {"stage when cut": "full", **said}.items()})
    walk.record("Record the round")
    assert all(walk.row(variety) for variety in cut)


def nothing_cut(walk: Walk, on: str) -> bool:
    """Whether no lot was cut that day."""
    walk.open(f"/growing/lots/?since={on}&until={on}")
    return walk.main.locator("tbody tr th").count() == 0


def open_lot(walk: Walk, variety: str) -> None:
    """The latest lot of a variety."""
    walk.go("cut", "Harvest lots")
    walk.follow(variety)


def gone_over(walk: Walk, stems: int, why: str, on: str) -> None:
    """About so many stems of the planting shown spoiled uncut."""
    walk.follow("Stems went over uncut")
    walk.fill({"About so many stems": stems, "Why": why, "Day": on})
    walk.record("Gone over")
    assert walk.says("Gone over in the bed")
    assert walk.row(f"about {stems}")[2] == why


def clear_half(walk: Walk, bed: str, on: str) -> None:
    """Clear half of what the planting shown holds of its only bed, as the page proposes."""
    walk.follow("Clear part of it")
    walk.fill({"Why": "cut out", "Day": on})
    half = walk.typed("Area (m2)")
    walk.record("Cleared")
    assert walk.fact("Bed").endswith(f"{bed}, {half} m2")


def clear(walk: Walk, why: str, on: str, *, failed: bool = False) -> None:
    """Clear the planting shown; one that failed says so."""
    walk.follow("Clear it")
    walk.fill({"Why": why, "Day": on, **({"It failed: nothing was cut of it": True} if failed else {})})
    walk.record("Cleared")
    assert walk.says("Failed and cleared" if failed else "Cleared")
    assert walk.says(why)


def cut_over(walk: Walk, on: str) -> None:
    """Cut the perennial shown over."""
    walk.follow("Cut it over")
    walk.fill({"Note": "a hand high", "Day": on})
    walk.record("Cut over")
    assert walk.row("cut over")
