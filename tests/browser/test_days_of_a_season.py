"""Days that go otherwise, and a season's first and last, on a phone from an empty ledger through the pages alone."""

import pytest

from tests.browser.conftest import asked
from tests.browser.steps import beginning, books, boxing, drying, growing, working
from tests.browser.walking import Walk

pytestmark = [pytest.mark.browser, pytest.mark.filterwarnings("ignore::ResourceWarning")]


def two_beds_to_cut(walk: Walk, link: str) -> tuple[str, str]:
    """A larkspur for 57.00 in Bed 1 and a statice for 30.00 in Bed 2, 300 stems expected of each; return what they are called."""
    beginning.set_up(walk, link)
    beginning.add_worker(walk, "Juniper", "12.00")
    growing.add_plot(walk, "Long field", {"Bed 1": 20, "Bed 2": 10})
    larkspur = growing.add_variety(walk, "Larkspur", "Blue Heron", 14)
    statice = growing.add_variety(walk, "Statice", "Pale Lamp", 10)
    for variety, bed, net in ((larkspur, "Bed 1", "57.00"), (statice, "Bed 2", "30.00")):
        growing.plant(walk, variety, bed, 300, "2024-04-02")
        beginning.buy_for_it(walk, f"Plugs for {bed}", "Seed and young plants", net, "0.00", "2024-04-02")
    drying.add_place(walk, "Loft", 60)
    return larkspur, statice


def cut_and_hang(walk: Walk, variety: str, stems: int, days: tuple[str, ...]) -> str:
    """The latest lot of a variety hung in equal parts on some days; return the page of the last hanging."""
    growing.open_lot(walk, variety)
    lot = walk.page.url
    for on in days:
        walk.open(lot)
        drying.hang(walk, stems // len(days), "Loft", 6, on)
    return walk.page.url


def test_a_rainy_day(newcomer: Walk, empty_ledger):
    """Nothing is cut; hours under cover are shared, the clock runs, the loft is damp again, a row goes over, bags are bought."""
    walk, (folder, link), rain = newcomer, empty_ledger, "2024-07-15"
    larkspur, statice = two_beds_to_cut(walk, link)
    growing.cut_round(walk, {larkspur: {"stems": 200}, statice: {"stems": 100}}, "2024-07-10")
    hung = [cut_and_hang(walk, larkspur, 200, ("2024-07-11",)), cut_and_hang(walk, statice, 100, ("2024-07-11",))]
    drying.set_damp_limit(walk, 60, "2024-01-01")
    under_cover(walk, (f"{larkspur} hung", f"{statice} hung"), rain)
    loft_is_damp(walk, rain)
    gone_over_by_the_rain(walk, larkspur, rain)
    bags_over_the_heads(walk, f"{statice} hung", rain)

    assert growing.nothing_cut(walk, rain)
    walk.open(hung[1])
    assert walk.row("60")[2] == "hanging and taking down"
    assert books.proves(walk)
    assert asked(folder, "prove")["ok"]


def under_cover(walk: Walk, hung: tuple[str, str], on: str) -> None:
    """90 minutes shared by 200 and 100 stems, 60 equally, a clock started and stopped."""
    working.share_work(walk, "Juniper", 90, "hanging", hung, "by stems", on)
    assert sorted(working.parts(walk).values()) == ["100", "200"]
    working.share_work(walk, "Juniper", 60, "hanging", hung, "equally", on)
    assert list(working.parts(walk).values()) == ["1", "1"]
    working.run_the_clock(walk, "Juniper", "upkeep", ("Loft",))
    assert list(working.parts(walk)) == ["Loft"]


def loft_is_damp(walk: Walk, on: str) -> None:
    """82 % in the loft is said on the first page and on the loft's own."""
    drying.read(walk, "Loft", 82, 17, on)
    walk.today()
    walk.follow_with("Loft is damp again: 82 %")
    assert walk.title() == "Loft"
    assert walk.says("Damp again: 82 %")


def gone_over_by_the_rain(walk: Walk, variety: str, on: str) -> None:
    """About 60 stems of a planting beaten down."""
    walk.go("bed", "Plantings")
    walk.follow(variety)
    growing.gone_over(walk, 60, "rain", on)


def bags_over_the_heads(walk: Walk, hung: str, on: str) -> None:
    """500 bags bought for 25.00, 40 of them over one hanging: 2.00 of its cost."""
    bags = working.add_material(walk, "Paper bags")
    working.buy_material(walk, 500, "25.00", on)
    walk.open(bags)
    working.use_material(walk, 40, hung, on)
    walk.open(bags)
    assert walk.fact("On hand") == "460 pieces"
    walk.follow_with(hung)
    books.open_cost(walk)
    assert walk.row("Paper bags")[1] == "2.00"


def test_a_mould_disaster(newcomer: Walk, empty_ledger):
    """Of 300 stems for 57.00 240 go mouldy: 60 / 285 of it stay with the sound ones, the rest is written off less its scrap.

    Of 5.00 of scrap, 15 / 240 belong to the usual loss and lower what is shared by 285: 57.00 - 5.00 - 11.93 is written off.
    """
    walk, (folder, link) = newcomer, empty_ledger
    larkspur, _statice = two_beds_to_cut(walk, link)
    growing.cut_round(walk, {larkspur: {"bundles": 30, "stems to the bundle": 10}}, "2024-07-10")
    hanging = cut_and_hang(walk, larkspur, 300, ("2024-07-10",))
    drying.take_down(walk, 300, {"mould": 240}, "2024-07-24")
    walk.open(hanging)
    drying.mark_disaster(walk, "The roof leaked over the weekend", 5, "2024-07-24")
    assert written_off(walk) == "45.00"
    walk.open(hanging)
    drying.keep_oddments(walk, 100, "5.00", "2024-07-25")
    assert written_off(walk) == "40.07"
    assert walk.fact("for each of 60") == "0.20, what 60 sound stems bear: 11.93"

    books.open_losses(walk, 2024)
    mould = walk.row("mould")
    assert (mould[1], mould[4], mould[5]) == ("240", "40.07", "5.00")
    walk.go("hung", "Oddments")
    assert "100" in walk.row(larkspur)
    assert books.proves(walk)
    assert asked(folder, "prove")["ok"]


def written_off(walk: Walk) -> str:
    """What the cost page of the hanging shown says is written off."""
    books.open_cost(walk)
    return books.went(walk, "written off")


def test_a_heatwave_dries_all_at_once(newcomer: Walk, empty_ledger):
    """Six hangings are due at once: one is moved to the cool, five come down on one sheet, all are bunched and boxed."""
    walk, (folder, link) = newcomer, empty_ledger
    larkspur, statice = two_beds_to_cut(walk, link)
    drying.add_place(walk, "Stone barn", 30, "racks")
    growing.cut_round(walk, {larkspur: {"stems": 300}, statice: {"stems": 300}}, "2024-07-20")
    days = ("2024-07-20", "2024-07-21", "2024-07-22")
    cut_and_hang(walk, statice, 300, days)
    cut_and_hang(walk, larkspur, 300, days)
    moved = too_hot_for_one(walk, "2024-07-25")
    assert drying.due_down(walk) == 6
    drying.take_all_down(walk, "Loft", "2024-07-28", lost=10, why="shattered")
    walk.open(moved)
    drying.take_down(walk, 100, {}, "2024-07-29")
    assert drying.due_down(walk) == 0
    bunch_and_box(walk, {larkspur: 30, statice: 29}, "2024-07-30")

    walk.today()
    assert walk.says("Nothing is waiting.")
    assert asked(folder, "prove")["ok"]


def too_hot_for_one(walk: Walk, on: str) -> str:
    """43 degrees under the roof: the hanging shown goes to the stone barn; return its page there."""
    hanging = walk.page.url
    drying.read(walk, "Loft", 18, 43, on)
    walk.open(hanging)
    drying.move(walk, "Stone barn", 10, on)
    return walk.page.url


def bunch_and_box(walk: Walk, tens: dict[str, int], on: str) -> None:
    """One run a line: all that is loose of each variety into tens and a box of its own."""
    for variety, bunches in tens.items():
        line = boxing.add_line(walk, "firsts", stems=10, variety=variety)
        box = boxing.begin_box(walk, "B1")
        boxing.bunch_all(walk, variety, line, bunches, box, on)
        assert boxing.holds(walk, box, line) == str(bunches)


FIRST, LAST = "2024-03-04", "2024-10-28"


def test_a_seasons_first_and_last_day(newcomer: Walk, empty_ledger):
    """From trays and a bare bed to cleared beds, a count, a value and earnings that prove."""
    walk, (folder, link) = newcomer, empty_ledger
    beginning.set_up(walk, link)
    beginning.add_worker(walk, "Juniper", "12.00")
    plantings = first_day(walk)
    planted_out(walk, plantings["larkspur"])
    box, line = cut_and_bunched(walk)
    last_day(walk, plantings)
    counted_and_valued(walk, box, line)

    assert books.proves(walk)
    assert asked(folder, "prove")["ok"]


def first_day(walk: Walk) -> dict[str, str]:
    """120 larkspurs in trays, a yarrow that stays, a nigella that will fail; their pages."""
    growing.add_plot(walk, "Long field", {"Bed 1": 20, "Bed 2": 10, "Bed 3": 8})
    larkspur = growing.add_variety(walk, "Larkspur", "Blue Heron", 14)
    yarrow = growing.add_variety(walk, "Yarrow", "Brass Plate", 14)
    nigella = growing.add_variety(walk, "Nigella", "Green Pod", 10)
    stays = {"Perennial": True, "Productive seasons of a perennial": 4}
    pages = {
        "yarrow": growing.plant(walk, yarrow, "Bed 2", 150, FIRST, **stays),
        "nigella": growing.plant(walk, nigella, "Bed 3", 90, FIRST),
        "larkspur": growing.sow_in_trays(walk, larkspur, 120, 250, FIRST),
    }
    beginning.work_on_it(walk, "Juniper", 60, "sowing", FIRST)
    for page in pages.values():
        walk.open(page)
        beginning.buy_for_it(walk, "Seed and plugs", "Seed and young plants", "24.00", "4.80", FIRST)
    return pages


def planted_out(walk: Walk, larkspur: str) -> None:
    """100 of the 120 planted out in Bed 1, 20 spare ones thrown away."""
    walk.open(larkspur)
    growing.plant_out(walk, "Bed 1", 100, "2024-05-06")
    growing.throw_spare_away(walk, 20, "2024-05-07")


def cut_and_bunched(walk: Walk) -> tuple[str, str]:
    """About 200 larkspurs and 150 yarrows cut dry on one sheet; the yarrows bunched; the box and the line."""
    cut = {
        "Larkspur Blue Heron": {"bundles": 20, "stems to the bundle": 10, "about so many, not counted": True},
        "Yarrow Brass Plate": {"stems": 150, "came in dry": True},
    }
    growing.cut_round(walk, cut, "2024-07-10")
    assert "about 200" in walk.row("Larkspur Blue Heron")
    drying.add_place(walk, "Loft", 40)
    growing.open_lot(walk, "Yarrow Brass Plate")
    assert walk.fact("Still in water") == "0"
    assert walk.row("cut dry")[2] == "150"
    cut_and_hang(walk, "Larkspur Blue Heron", 200, ("2024-07-10",))
    line = boxing.add_line(walk, "firsts", stems=10, variety="Yarrow Brass Plate")
    box = boxing.begin_box(walk, "A1")
    boxing.bunch_all(walk, "Yarrow Brass Plate", line, 15, box, "2024-07-12")
    return box, line


def last_day(walk: Walk, plantings: dict[str, str]) -> None:
    """Half a bed was cleared in August; now the rest goes, the nigella failed, the yarrow is cut over."""
    walk.open(plantings["larkspur"])
    growing.clear_half(walk, "Bed 1", "2024-08-12")
    growing.clear(walk, "over for this year", LAST)
    walk.open(plantings["nigella"])
    growing.clear(walk, "never came up", LAST, failed=True)
    walk.open(plantings["yarrow"])
    growing.cut_over(walk, LAST)


def counted_and_valued(walk: Walk, box: str, line: str) -> None:
    """One bunch is missing of 15; both sides of the year agree by every method; each planting stands in the earnings."""
    boxing.count(walk, box, line, 14, "2024-12-31")
    for method in books.METHODS:
        came, went = books.both_sides(books.value_stock(walk, method, "2024-01-01", "2024-12-31"))
        assert came == went > 0
    books.open_earnings(walk, 2024)
    assert [books.stems_earning(walk, name) for name in ("Larkspur", "Yarrow", "Nigella")] == ["200", "150", "0"]
