"""Steps in the field and the loft: cutting, hanging, taking down."""

from collections.abc import Mapping

from tests.browser.walking import Walk


def cut(walk: Walk, *, bundles: int, per_bundle: int, on: str) -> None:
    """Record a lot of the planting the page is about, by bundles."""
    walk.follow("Record a cutting")
    walk.fill({"or bundles": bundles, "of so many stems": per_bundle, "Stage when cut": "half open", "Day": on})
    walk.record("Record the lot")
    assert walk.fact("Still in water") == str(bundles * per_bundle)


def throw_out(walk: Walk, stems: int, why: str, on: str) -> None:
    """Throw stems of the lot out."""
    walk.follow("Throw stems out")
    walk.fill({"Stems": stems, "Why": why, "Day": on})
    walk.record("Thrown out")
    assert walk.says(f"thrown out: {why}")


def add_place(walk: Walk, name: str, room: int) -> None:
    """A drying place with so many hooks."""
    walk.go("hung", "Drying places")
    walk.follow("Add a drying place")
    walk.fill({"Name": name, "Unit of room": "hooks", "Room in all": room})
    walk.record("Add it")


def hang(walk: Walk, stems: int, place: str, room: int, on: str) -> None:
    """Hang stems of the lot the page is about."""
    walk.follow("Hang stems of it")
    walk.fill({"Stems": stems, "Place": place, "Room it takes": room, "Day": on})
    walk.record("Hang them")


def take_down(walk: Walk, stems: int, losses: Mapping[str, int], on: str) -> None:
    """Take stems of the hanging down, so many lost for each reason; end on the hanging again."""
    walk.follow("Take down")
    walk.fill({"Stems taken down": stems, "Day": on})
    if len(losses) > 1:
        walk.main.get_by_text("Lost for other reasons too").click()
    for row, (reason, lost) in enumerate(losses.items()):
        walk.main.get_by_label("Lost of these", exact=True).nth(row).fill(str(lost))
        walk.main.get_by_label("because", exact=True).nth(row).select_option(label=reason)
    walk.record("Taken down")


def mark_and_unmark_disaster(walk: Walk, why: str, on: str) -> None:
    """Mark the hanging as a disaster and take the mark away again."""
    walk.follow("Mark as a disaster")
    walk.fill({"What happened": why, "Usual loss (% of stems hung)": "5", "Day": on})
    walk.record("Mark it")
    assert walk.says(why)
    walk.follow("Take the disaster's mark away")
    walk.record("Undo it")
