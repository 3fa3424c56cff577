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
