"""Room charged where more stood or hung than there is room for: the rate falls, and no more than was spent is charged."""

from datetime import date

from ledger.reckoning.book import HangingFact, LotFact, PartingFact, SpaceFact, total
from tests.reckoning.test_book_hand_worked import (
    DAY,
    LOT,
    PLACE,
    PLANTING,
    PLOT,
    checked,
    cost,
    facts,
    place,
    planting,
    plot,
    spent,
)

NEXT, OTHER = 9, 11
JUNE_30 = date(2025, 6, 30)


def grown(on, **given):
    """100 m2 held from 1 January on, and 50 m2 more of the same 100 m2 from 1 July."""
    plantings = [planting(on=date(2025, 1, 1), cleared=None), planting(key=NEXT, on=DAY, cleared=None, area=5_000)]
    return checked(facts(on=on, plantings=plantings if on >= DAY else plantings[:1], **given))


def test_an_overfull_plot_charges_its_year_by_what_stood():
    """Of 36,500 + 9,200 m2-days 45,700 bear 457: 365 and 92, though the plot has 36,500 in the year."""
    book = grown(date(2025, 12, 31), spending=[spent(PLOT, 457)], spaces=[plot(cost=0, normal=36_500 * 100)])

    assert (cost(book, "planting", PLANTING), cost(book, "planting", NEXT)) == (365, 92)
    assert sum(total(at.amounts) for at in book.node(("plot", PLOT)).standings) == 0, "nothing is idle"


def test_an_overfull_running_year_charges_no_more_than_is_expected():
    """On 30 December 36,400 + 9,150 m2-days bear all of the 45,550 expected; by 30 June a day cost as on a full plot."""
    expected = SpaceFact(PLOT, "plot", 10_000, {2025: (45_550, 0)})
    late, early = grown(date(2025, 12, 30), spaces=[expected]), grown(JUNE_30, spaces=[expected])

    assert (cost(late, "planting", PLANTING), cost(late, "planting", NEXT)) == (36_400, 9_150)
    assert place(late, "charged ahead or behind") == -45_550
    assert cost(early, "planting", PLANTING) == round(45_550 * 181 / 365)


def test_an_overfull_place_charges_its_year_by_what_hung():
    """Ten hooks, twelve taken from 1 July to the year's end, and normal use was 1,000 hook-days: 2,208 bear all of it."""
    partings = [PartingFact(1, LOT, DAY, "hung", 50), PartingFact(2, LOT, DAY, "hung", 50)]
    hangings = [HangingFact(NEXT, 1, PLACE, DAY, 50, 10), HangingFact(OTHER, 2, PLACE, DAY, 50, 2)]
    book = checked(
        facts(plantings=[planting()], lots=[LotFact(LOT, PLANTING, DAY, 100)], partings=partings, hangings=hangings,
              spending=[spent(PLACE, 2_208)], spaces=[SpaceFact(PLACE, "place", 10, {2025: (0, 1_000)})])
    )

    assert (cost(book, "hanging", NEXT), cost(book, "hanging", OTHER)) == (1_840, 368)
    assert place(book, "cost of the year") == 0
