"""The cost book where years and seasons meet (money in whole units here, not millionths)."""

from dataclasses import replace
from datetime import date

from ledger.reckoning.book import LotFact, PartingFact, season_key, total
from tests.reckoning.test_book_hand_worked import HOLDING, LOT, PLANTING, checked, facts, place, planting, spent

JULY_TO_JUNE = (date(2025, 7, 1), date(2026, 6, 30))
YEAR_BEFORE = (date(2024, 1, 1), date(2024, 12, 31))


def insurance(covers):
    """A bill of 365 for the holding, entered on 1 July 2025."""
    return replace(spent(HOLDING, 365), covers=covers)


def test_overheads_paid_ahead_wait_for_their_year():
    """184 of 365 days of a bill from July to June lie in this year; the rest is next year's, from its first day."""
    this_year = checked(facts(spending=[insurance(JULY_TO_JUNE)]))
    next_year = checked(facts(on=date(2026, 1, 1), spending=[insurance(JULY_TO_JUNE)]))

    assert (place(this_year, "cost of the year"), place(this_year, "charged ahead or behind")) == (184, 181)
    assert [(at.on, total(at.amounts)) for at in next_year.node(("holding", HOLDING)).standings] == [
        (date(2025, 7, 1), 184), (date(2026, 1, 1), 181),
    ]


def test_overheads_billed_late_belong_to_the_year_they_were_for():
    """A bill entered in July for the year before is that year's cost, dated its last day."""
    book = checked(facts(spending=[insurance(YEAR_BEFORE)]))

    assert [at.on for at in book.node(("holding", HOLDING)).standings] == [date(2024, 12, 31)]


def test_perennial_cleared_on_the_first_day_of_a_season_has_none_then():
    """Cleared on New Year's Day it stood up to the eve: the new season gets no slice, what is left is written off."""
    cleared = planting(on=date(2024, 10, 1), cleared=date(2026, 1, 1), perennial=True, productive_seasons=3)
    work = spent(PLANTING, 7, date(2026, 1, 1), number=2)
    book = checked(
        facts(
            on=date(2026, 1, 31), plantings=[cleared], spending=[spent(PLANTING, 300, date(2024, 10, 1)), work],
            lots=[LotFact(LOT, PLANTING, date(2025, 7, 1), 100)],
        )
    )

    assert total(book.node(season_key(PLANTING, 2025)).carried) == 107
    assert place(book, "written off") == 200
    assert season_key(PLANTING, 2026) not in book.graph.nodes


def test_stems_cut_dry_are_held_and_no_event():
    """What lies loose is stock in progress: it takes what later facts add, and is not dated."""
    book = checked(
        facts(
            plantings=[planting()], spending=[spent(PLANTING, 100)], lots=[LotFact(LOT, PLANTING, date(2025, 8, 1), 10)],
            partings=[PartingFact(1, LOT, date(2025, 8, 1), "cut_dry", 10)],
        )
    )

    assert [(at.place, at.on) for at in book.node(("lot", LOT)).standings] == [("loose", None)]


def test_an_overhead_of_nothing_rests_nowhere():
    """A bill of nil leaves no row."""
    assert checked(facts(spending=[spent(HOLDING, 0)])).places == {}


def yarrow(on, cleared=None):
    """A perennial with one cut in July 2025; 60 spent in May, 40 on mulch in November."""
    standing = planting(on=date(2025, 1, 1), cleared=cleared, perennial=True, productive_seasons=2, expected={2025: (100, None)})
    costs = [spent(PLANTING, 60, date(2025, 5, 1)), spent(PLANTING, 40, date(2025, 11, 10), number=2)]
    lots = [LotFact(LOT, PLANTING, date(2025, 7, 1), 100)]
    return checked(facts(on=on, plantings=[standing], spending=costs, lots=lots))


def test_work_after_cutting_is_over_belongs_to_the_next_season():
    """Mulch after the last cut waits in the plants at the season's end, and is the next season's once that begins."""
    last_day, next_day = yarrow(date(2025, 12, 31)), yarrow(date(2026, 1, 1))

    assert total(last_day.node(("lot", LOT)).carried) == 60
    assert place(last_day, "plants") == 40
    assert total(next_day.node(season_key(PLANTING, 2026)).carried) == 40
    assert place(next_day, "growing") == 40


def test_until_a_season_is_over_more_may_be_cut():
    """In December the year's cutting may not be over: all 100 is still the season's own."""
    assert total(yarrow(date(2025, 12, 30)).node(season_key(PLANTING, 2025)).carried) == 100


def test_a_planting_cleared_with_its_season_has_no_next_one():
    """Cleared in December, the work of November is its last season's."""
    assert total(yarrow(date(2026, 1, 31), date(2025, 12, 1)).node(("lot", LOT)).carried) == 100
