"""Steps in the field and the loft: cutting, hanging, taking down."""

from collections.abc import Mapping

from tests.browser.walking import Walk


def cut(walk: Walk, *, bundles: int, per_bundle: int, on: str) -> None:
    """Record a lot of the planting the page is about, by bundles."""
    walk.follow("Record a cutting")
    walk.fill({"or bundles": bundles, "of so many stems": per_bundle, "Stage when cut": "half open", "Day": on})
    walk.record("Record the lot")
    assert walk.fact("Still in water").split(",")[0] == str(bundles * per_bundle)


def throw_out(walk: Walk, stems: int, why: str, on: str) -> None:
    """Throw stems of the lot out."""
    walk.follow("Throw stems out")
    walk.fill({"Stems": stems, "Why": why, "Day": on})
    walk.record("Thrown out")
    assert walk.says(f"thrown out: {why}")


def add_place(walk: Walk, name: str, room: int, unit: str = "hooks") -> None:
    """A drying place with so many hooks."""
    walk.go("hung", "Drying places")
    walk.follow("Add a drying place")
    walk.fill({"Name": name, "Unit of room": unit, "Room in all": room})
    walk.record("Add it")


def open_place(walk: Walk, name: str) -> None:
    """The page of a drying place."""
    walk.go("hung", "Drying places")
    walk.follow(name)


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


def set_damp_limit(walk: Walk, humidity: int, on: str) -> None:
    """The humidity above which a place is damp again."""
    walk.go("hung", "Readings")
    walk.follow("Limit of damp")
    walk.follow("Set the limit")
    walk.fill({"Damp above (% humidity)": humidity, "Day": on})
    walk.record("Record")


def read(walk: Walk, place: str, humidity: int, degrees: int, on: str) -> None:
    """What the instruments of a place say."""
    open_place(walk, place)
    walk.follow("Note a reading")
    walk.fill({"Humidity (%)": humidity, "Temperature (°C)": degrees, "Day": on})
    walk.record("Note it")


def move(walk: Walk, place: str, room: int, on: str) -> None:
    """Move all that is up of the hanging shown to another place; end on the hanging there."""
    walk.follow("Move it or part of it")
    walk.fill({"To the place": place, "Room they take there": room, "Day": on})
    walk.record("Move them")
    assert walk.says(f"to {place}")


def take_all_down(walk: Walk, place: str, on: str, *, lost: int, why: str) -> None:
    """A loft round on which all of a place comes down, some stems of the first hanging lost."""
    open_place(walk, place)
    walk.follow("Loft round")
    rows = walk.main.locator("form.verb fieldset.row")
    for tick in rows.locator("input[name^=all_]").all():
        tick.check()
    rows.first.locator("input[name^=lost_]").fill(str(lost))
    rows.first.locator("select[name^=why_]").select_option(label=why)
    walk.fill({"Day": on})
    walk.record("Record the round")
    assert walk.says("Nothing hangs here today.")


def due_down(walk: Walk) -> int:
    """How many hangings the list says are due down."""
    walk.go("hung", "Due down")
    count = walk.main.locator("tbody tr").count()
    assert walk.says("Nothing is due down today.") == (count == 0)
    return count


def mark_disaster(walk: Walk, why: str, usual: int, on: str) -> None:
    """Mark the hanging shown as the disaster its page proposes."""
    assert walk.says("It lost far more than is usual.")
    walk.follow("Mark as a disaster")
    walk.fill({"What happened": why, "Usual loss (% of stems hung)": usual, "Day": on})
    walk.record("Mark it")
    assert walk.says(why)
    assert not walk.says("It lost far more than is usual.")


def keep_oddments(walk: Walk, stems: int, worth: str, on: str) -> None:
    """Keep so many of the stems that the hanging shown lost."""
    walk.follow("Keep oddments of the lost")
    walk.fill({"Stems kept of the lost ones": stems, "Worth as scrap, all of them": worth, "Day": on})
    walk.record("Keep them")
    assert walk.says("Oddments kept of the lost")
