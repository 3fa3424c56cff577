"""Materials in the cost book, worked by hand (money in whole units here, not millionths)."""

from dataclasses import replace
from datetime import date

from ledger.reckoning.book import BatchFact, MaterialCount, MaterialUse, MovementFact, RunFact, SpaceFact, total
from tests.reckoning.test_book_hand_worked import (
    DAY,
    KINDS,
    PLANTING,
    PLOT,
    RUN,
    checked,
    cost,
    facts,
    place,
    planting,
    spent,
)

TWINE, SECOND_RUN = 70, 61
NEXT_DAY, YEAR_END = date(2025, 7, 2), date(2025, 12, 31)


def bought(quantity, amount, on=DAY, number=1):
    return replace(spent(TWINE, amount, on=on, kind="materials", number=number), quantity=quantity)


def used(quantity, on=NEXT_DAY, key=1, spent_on=RUN):
    return MaterialUse(key, TWINE, on, quantity, spent_on)


def with_materials(*bills, uses=(), counts=(), spending=(), runs=None, **given):
    runs = [RunFact(RUN, DAY, [], [BatchFact(8, 1, 3, 3)])] if runs is None else runs
    kinds = {**KINDS, TWINE: "material", SECOND_RUN: "run", 62: "run"}
    made = [MovementFact(batch.key, run.on, batch.key, batch.made, "made") for run in runs for batch in run.batches]
    whole = facts(
        spending=[*bills, *spending], uses=uses, counts=counts, runs=runs, movements=made, plantings=[planting()], **given
    )
    return checked(replace(whole, kinds_of=kinds))


def test_use_takes_the_moving_average():
    """10 at 1 and 10 at 3 lie there: 5 used take 10, 30 lie there still."""
    book = with_materials(bought(10, 10), bought(10, 30, number=2), uses=[used(5)])

    assert (cost(book, "run", RUN), place(book, "materials")) == (10, 30)


def test_same_day_bill_comes_before_the_use():
    """A bill of the same day is in stock before anything is used, whatever was entered first."""
    book = with_materials(bought(10, 100, on=NEXT_DAY), uses=[used(4)])

    assert cost(book, "run", RUN) == 40


def test_use_before_its_bill_takes_its_cost_from_the_next_bill():
    """12 used with none there: a later bill of 20 at 40 gives them 24, and 8 lie there."""
    late = with_materials(bought(20, 40, on=date(2025, 8, 1)), uses=[used(12)])

    assert (cost(late, "run", RUN), place(late, "materials")) == (24, 16)


def test_use_owed_by_two_bills():
    """5 there at 5, 15 used: 5, then a bill of 4 at 8 and one of 10 at 30 give the ten owed 8 and 18."""
    book = with_materials(
        bought(5, 5), bought(4, 8, on=date(2025, 8, 1), number=2), bought(10, 30, on=date(2025, 9, 1), number=3), uses=[used(15)]
    )

    assert (cost(book, "run", RUN), place(book, "materials")) == (5 + 8 + 18, 12)


def test_material_on_a_planting_and_a_plot_is_their_cost():
    """Seed goes with the planting; compost on a plot is charged with its year."""
    uses = [used(4, spent_on=PLANTING), used(6, key=2, spent_on=PLOT)]
    book = with_materials(bought(10, 100), uses=uses, spaces=[SpaceFact(PLOT, "plot", 10_000)])

    assert {stage for stage, _ in book.node(("planting", PLANTING)).own} == {"growing"}
    assert total(book.node(("planting", PLANTING)).own) == 40
    assert cost(book, "plot", PLOT) == 60


def test_count_shares_what_is_missing_over_the_uses_noted():
    """10 at 100, 2 and 3 used, 1 counted: the 4 missing go to the two uses, 2 to 3."""
    runs = [RunFact(RUN, DAY, [], [BatchFact(8, 1, 3, 3)]), RunFact(SECOND_RUN, DAY, [], [BatchFact(9, 1, 3, 3)])]
    uses = [used(2), used(3, key=2, spent_on=SECOND_RUN)]
    book = with_materials(bought(10, 100), uses=uses, counts=[MaterialCount(1, TWINE, YEAR_END, 1)], runs=runs)

    assert (cost(book, "run", RUN), cost(book, "run", SECOND_RUN), place(book, "materials")) == (36, 54, 10)


def test_small_stuff_never_noted_is_shared_over_the_years_runs():
    """Bands never noted: 8 of 10 are gone at the year's end, shared by bunches made, 3 to 1; last year's run has none."""
    runs = [
        RunFact(RUN, DAY, [], [BatchFact(8, 1, 3, 3)]), RunFact(SECOND_RUN, DAY, [], [BatchFact(9, 1, 1, 1)]),
        RunFact(62, date(2024, 7, 1), [], [BatchFact(10, 1, 9, 9)]),
    ]
    book = with_materials(bought(10, 100), counts=[MaterialCount(1, TWINE, YEAR_END, 2)], runs=runs)

    assert (cost(book, "run", RUN), cost(book, "run", SECOND_RUN), cost(book, "run", 62)) == (60, 20, 0)


def test_missing_with_nothing_made_is_a_cost_of_the_year():
    """No use and no run: what is gone is nobody's but the year's."""
    book = with_materials(bought(10, 100), counts=[MaterialCount(1, TWINE, YEAR_END, 2)], runs=[])

    assert (place(book, "cost of the year"), place(book, "materials")) == (80, 20)


def test_count_finding_more_makes_units_and_no_money():
    """12 counted where 10 should be: the 100 lie on 12, so 3 used later take 25; what was owed is settled."""
    book = with_materials(bought(10, 100), counts=[MaterialCount(1, TWINE, DAY, 12)], uses=[used(3)])
    settled = with_materials(uses=[used(3)], counts=[MaterialCount(1, TWINE, NEXT_DAY, 0)])

    assert cost(book, "run", RUN) == 25
    assert cost(settled, "run", RUN) == 0


def test_a_bill_without_units_adds_its_cost_to_those_there():
    """Carriage on a material: 10 at 100, then 20 more for none: 2 used take 24."""
    book = with_materials(bought(10, 100), bought(0, 20, number=2), uses=[used(2)])

    assert cost(book, "run", RUN) == 24


def test_a_bill_after_the_count_pays_for_what_was_used_and_counted():
    """60 used, 40 counted at the year's end, then the bill for 100 at 100: the run bears 60, and 40 lie there at 40."""
    bill = bought(100, 100, on=date(2026, 1, 3))
    book = with_materials(
        bill, uses=[used(60)], counts=[MaterialCount(1, TWINE, YEAR_END, 40)], on=date(2026, 1, 31), spaces=[]
    )

    assert (cost(book, "run", RUN), place(book, "materials")) == (60, 40)
    assert book.node(("material", TWINE)).quantity == 40


def test_bunches_bought_in_use_no_bands():
    """Bands gone at the year's end are shared over what was bunched here, none to what was bought ready-made."""
    runs = [
        RunFact(RUN, DAY, [], [BatchFact(8, 1, 3, 3)]), RunFact(SECOND_RUN, DAY, [], [BatchFact(9, 1, 9, 9)], bought_in=True),
    ]
    book = with_materials(bought(10, 100), counts=[MaterialCount(1, TWINE, YEAR_END, 2)], runs=runs)

    assert (cost(book, "run", RUN), cost(book, "run", SECOND_RUN)) == (80, 0)
