"""The cost book against cases worked by hand from the rules (money in whole units here, not millionths)."""

from dataclasses import replace
from datetime import date

from ledger.reckoning.book import (
    BatchFact,
    Calendar,
    CostFacts,
    Entry,
    HangingFact,
    LotFact,
    MovementFact,
    PartingFact,
    PlantingFact,
    RunFact,
    SpaceFact,
    Spending,
    make_book,
    season_key,
    total,
)
from ledger.reckoning.sharing import MILLION
from tests.reckoning.linear import differences
from tests.reckoning.seasons import scaled

PLOT, PLANTING, LOT, PLACE, HANGING, RUN, STALL = 1, 2, 3, 4, 5, 6, 7
HOLDING = 10
KINDS = {10: "holding", 1: "plot", 2: "planting", 3: "lot", 4: "place", 5: "hanging", 6: "run", 7: "stall_day"}
DAY = date(2025, 7, 1)


def facts(on=date(2025, 12, 31), **given):
    return CostFacts(on=on, calendar=Calendar(), kinds_of=KINDS, **given)


def spent(spent_on, amount, on=DAY, kind="inputs", number=1):
    return Spending(spent_on, on, kind, amount, ("purchase", number))


def planting(**given):
    fixed = {"key": PLANTING, "plot": PLOT, "on": date(2025, 5, 1), "cleared": date(2025, 10, 1), "area": 10_000, "season": 2025}
    return PlantingFact(**{**fixed, **given})


def plot(cost=365, normal=15_300 * 100):
    return SpaceFact(PLOT, "plot", 10_000, {2025: (cost, normal)})


def cost(book, kind, key):
    return total(book.node((kind, key)).carried)


def place(book, name):
    return total(book.places.get(name, {}))


def checked(given):
    book = make_book(given)
    assert not book.unplaced()
    assert sum(total(amounts) for amounts in book.places.values()) == book.spent
    assert differences(make_book(scaled(given, MILLION))) == []
    return book


def test_winter_rest_is_within_normal_use():
    """Case 1: planted as in a usual year, all of the plot's year is charged though it lies bare in winter."""
    book = checked(facts(spending=[spent(PLOT, 365)], spaces=[plot()], plantings=[planting()]))

    assert cost(book, "planting", PLANTING) == 365


def test_disuse_beyond_normal_is_idle():
    """Case 2: 60 of 100 m2 planted bear 219, and 146 stand idle as a cost of the year."""
    book = checked(facts(spending=[spent(PLOT, 365)], spaces=[plot()], plantings=[planting(area=6_000)]))
    idle = sum(total(at.amounts) for at in book.node(("plot", PLOT)).standings)

    assert (cost(book, "planting", PLANTING), idle) == (219, 146)


def test_fuller_use_never_charges_more_than_was_spent():
    """Case 3: with 120 m2-equivalents the rate falls, and 365 are charged in all."""
    second = planting(key=9, area=2_000)
    book = checked(facts(spending=[spent(PLOT, 365)], spaces=[plot()], plantings=[planting(), second]))

    assert cost(book, "planting", PLANTING) + cost(book, "planting", 9) == 365


def test_running_year_is_charged_ahead_of_its_bills():
    """Before the bills come the expected cost is charged, and shown as charged ahead."""
    book = checked(facts(on=date(2025, 6, 30), spaces=[plot()], plantings=[planting(cleared=None)]))

    assert cost(book, "planting", PLANTING) == round(365 * 61 / 153)
    assert place(book, "charged ahead or behind") == -cost(book, "planting", PLANTING)


def test_lot_is_parted_by_stems_and_the_rest_bears_what_was_thrown_out():
    """Case 4: a lot of 118.00 with 100 sold fresh and 380 hung of 480 kept."""
    partings = [
        PartingFact(1, LOT, DAY, "sold_fresh", 100), PartingFact(2, LOT, DAY, "hung", 380),
        PartingFact(3, LOT, DAY, "thrown_out", 20),
    ]
    book = checked(
        facts(spending=[spent(LOT, 11800)], plantings=[planting()], lots=[LotFact(LOT, PLANTING, DAY, 500)],
              partings=partings, hangings=[HangingFact(HANGING, 2, PLACE, DAY, 380, 1)])
    )

    assert place(book, "cost of sales") == 2458
    assert cost(book, "hanging", HANGING) == 9342


def test_lot_thrown_out_whole_is_written_off():
    """When nothing is left to bear it, a lot's cost is written off."""
    book = checked(
        facts(spending=[spent(LOT, 50)], plantings=[planting()], lots=[LotFact(LOT, PLANTING, DAY, 10)],
              partings=[PartingFact(1, LOT, DAY, "thrown_out", 10)])
    )

    assert place(book, "written off") == 50


def test_provisional_rate_rests_on_what_is_expected():
    """Case 5: 300 spent of 500 planned, 500 stems expected, 20 cut: one each, 280 still growing."""
    given = facts(
        on=DAY, spending=[spent(PLANTING, 300_000_000)],
        plantings=[planting(cleared=None, expected={2025: (500, 500)})], lots=[LotFact(LOT, PLANTING, DAY, 20)],
    )
    book = checked(given)

    assert cost(book, "lot", LOT) == 20_000_000
    assert place(book, "growing") == 280_000_000
    assert not book.node(("lot", LOT)).final


def test_without_expectation_it_is_too_early_to_say():
    """Case 6: no expectation, still growing: nothing is handed on and nothing is claimed."""
    book = checked(
        facts(on=DAY, spending=[spent(PLANTING, 300)], plantings=[planting(cleared=None)], lots=[LotFact(LOT, PLANTING, DAY, 20)])
    )

    assert not book.node(("lot", LOT)).known
    assert place(book, "growing") == 300


def test_planting_without_a_stem_is_a_cost_of_the_year():
    """Nothing cut before it was cleared: its cost is a cost of the year."""
    book = checked(facts(spending=[spent(PLANTING, 300)], plantings=[planting()]))

    assert place(book, "cost of the year") == 300


def hung(takings, *, stems=100, cost_of_it=90_000_000, **given):
    hanging = HangingFact(HANGING, 1, PLACE, DAY, stems, 1, takings=takings, **given)
    return facts(
        spending=[spent(HANGING, cost_of_it)], plantings=[planting()], lots=[LotFact(LOT, PLANTING, DAY, stems)],
        partings=[PartingFact(1, LOT, DAY, "hung", stems)], hangings=[hanging],
    )


def test_loss_is_borne_by_the_sound_stems():
    """Case 7: 20 of 100 lost, not marked: 80 sound bear all 90."""
    book = checked(hung([(DAY, 100, 80)], norm_bp=1000))

    assert (place(book, "loose"), place(book, "written off")) == (90_000_000, 0)


def test_marked_disaster_writes_off_what_was_lost_beyond_the_norm():
    """Case 8: the same, marked: 80 in the sound stems, 10 written off."""
    book = checked(hung([(DAY, 100, 80)], disaster_bp=1000))

    assert (place(book, "loose"), place(book, "written off")) == (80_000_000, 10_000_000)


def test_steps_of_taking_down_change_nothing_at_the_end():
    """Case 9: 30 lost first, 70 sound later: the 70 bear all."""
    book = checked(hung([(DAY, 30, 0), (date(2025, 7, 9), 70, 70)], norm_bp=1000))

    assert place(book, "loose") == 90_000_000


def bunched(movements, *, made=3, amount=100):
    run = RunFact(RUN, DAY, [("hanging", HANGING, 30)], [BatchFact(8, 1, made, 30)])
    given = hung([(DAY, 30, 30)], stems=30, cost_of_it=amount)
    made_row = MovementFact(100, DAY, 8, made, "made")
    return replace(given, runs=[run], movements=[made_row, *movements])


def test_what_comes_back_brings_exactly_what_it_took():
    """Case 11: 100 on 3: 33 and 34 out, 33 back, then the rest: out in all 100."""
    days = [date(2025, 8, day) for day in range(1, 6)]
    sold = [MovementFact(101, days[0], 8, -1, "sold"), MovementFact(102, days[1], 8, -1, "sold")]
    back = [MovementFact(103, days[2], 8, 1, "returned", brings_back=101)]
    later = [MovementFact(104, days[3], 8, -1, "sold"), MovementFact(105, days[4], 8, -1, "sold")]
    book = checked(bunched([*sold, *back, *later]))

    took = [total(book.by_event[("movement", key)]) for key in (101, 102, 103, 104, 105)]
    assert took == [33, 34, -33, 33, 33]
    assert place(book, "cost of sales") == 100


def test_what_comes_back_the_same_day_never_went():
    """A sale taken back on its own day takes nothing, and the batch keeps its cost."""
    rows = [MovementFact(101, DAY, 8, -2, "sold"), MovementFact(102, DAY, 8, 1, "returned", brings_back=101)]
    book = checked(bunched(rows))

    assert (place(book, "cost of sales"), place(book, "boxed")) == (33, 67)


def test_order_of_entry_within_a_day_changes_nothing():
    """Two movements of one day take the same whichever was entered first."""
    one = [MovementFact(101, DAY, 8, -1, "sold"), MovementFact(102, DAY, 8, -1, "drawn")]
    other = [MovementFact(101, DAY, 8, -1, "drawn"), MovementFact(102, DAY, 8, -1, "sold")]
    whole = [checked(bunched(rows)) for rows in (one, other)]

    assert [place(book, "boxed") for book in whole] == [33, 33]


def test_establishing_cost_is_borne_by_the_productive_seasons():
    """A perennial's establishing cost comes in equal slices; a season with no cut is a cost of its year."""
    plant = planting(on=date(2023, 10, 1), cleared=None, season=2024, perennial=True, productive_seasons=8)
    given = facts(
        spending=[spent(PLANTING, 2627, on=date(2023, 10, 1))], plantings=[plant], lots=[LotFact(LOT, PLANTING, DAY, 230)]
    )
    book = checked(given)

    assert cost(book, *season_key(PLANTING, 2025)) == 329
    assert place(book, "plants") == 2627 - 329 - 329
    assert place(book, "cost of the year") == 329


def test_perennial_cleared_early_writes_off_what_is_left():
    """Cleared in its first season, the slices of the others are written off."""
    plant = planting(on=date(2023, 10, 1), cleared=date(2024, 9, 1), season=2024, perennial=True, productive_seasons=4)
    book = checked(facts(spending=[spent(PLANTING, 400, on=date(2023, 10, 1))], plantings=[plant]))

    assert (place(book, "cost of the year"), place(book, "written off")) == (100, 300)


def test_selling_and_overheads_never_reach_stock():
    """What is spent on a stall day is cost of sales; pay not booked stands apart."""
    book = checked(facts(spending=[spent(STALL, 30)], unbooked=108))

    assert (place(book, "cost of sales"), place(book, "paid, not booked")) == (30, 108)


def test_bill_over_a_stretch_counts_by_days_in_each_year():
    """A bill from July to June is half this year's and half waits for the next."""
    bill = Spending(PLOT, DAY, "space", 365, ("purchase", 1), (date(2025, 7, 1), date(2026, 6, 30)))
    book = checked(facts(spending=[bill], spaces=[plot(normal=0)], plantings=[planting()]))

    assert cost(book, "planting", PLANTING) == 184
    assert place(book, "charged ahead or behind") == 181


def test_perennial_bears_bed_space_season_by_season():
    """Days before the first season are establishing cost; later days fall to their own season."""
    plant = planting(on=date(2024, 12, 22), cleared=None, season=2025, perennial=True, productive_seasons=2)
    years = {2024: (366, 0), 2025: (365, 0)}
    bills = [spent(PLOT, 366, on=date(2024, 1, 1)), spent(PLOT, 365, number=2)]
    space = SpaceFact(PLOT, "plot", 10_000, years)
    book = checked(facts(spending=bills, spaces=[space], plantings=[plant]))

    assert cost(book, "planting", PLANTING) == 366
    assert cost(book, *season_key(PLANTING, 2025)) == 365 + 183


def test_stems_cut_before_the_first_productive_season_carry_nothing():
    """Early stems of a perennial are a gift; its establishing cost waits for its seasons."""
    plant = planting(on=date(2024, 5, 1), cleared=None, season=2026, perennial=True, productive_seasons=2)
    given = facts(spending=[spent(PLANTING, 10)], plantings=[plant], lots=[LotFact(LOT, PLANTING, DAY, 5)])
    book = checked(given)

    assert (cost(book, "lot", LOT), place(book, "plants")) == (0, 10)


def test_what_was_spent_before_a_thing_began_waits():
    """Seed sown before the planting's own day is growing, not lost."""
    book = checked(facts(spending=[spent(PLANTING, 10), spent(LOT, 4)]))

    assert place(book, "growing") == 14


def test_pool_knows_nothing_of_a_batch_that_never_was():
    """A record the book does not know carries nothing."""
    book = checked(facts())

    assert book.batch_cost(99) == {}


def test_found_bunches_come_in_at_no_cost():
    """Bunches found beyond the record make the batch's others cheaper, and make no money."""
    book = checked(bunched([MovementFact(101, DAY, 8, 1, "found"), MovementFact(102, date(2025, 8, 1), 8, -1, "sold")]))

    assert (place(book, "cost of sales"), place(book, "boxed")) == (25, 75)


def test_unplaced_names_the_node():
    """A book whose cost did not come to rest says where."""
    book = checked(facts())
    book.graph.node(("lot", 1)).direct.append(Entry(("work", 1), DAY, {("cutting", "labour"): 7}))

    assert book.unplaced() == [(("lot", 1), 7)]


def test_what_is_spent_on_the_holding_is_a_cost_of_its_year():
    """Overheads reach no stem; each stays with its own day."""
    book = checked(facts(spending=[spent(HOLDING, 12)]))

    assert place(book, "cost of the year") == 12
    assert total(book.by_event[("purchase", 1)]) == 12


def test_last_millionth_goes_to_one_batch():
    """A run of one millionth leaves its second batch with nothing, and loses nothing."""
    run = RunFact(RUN, DAY, [("hanging", HANGING, 30)], [BatchFact(8, 1, 1, 15), BatchFact(9, 1, 1, 15)])
    made = [MovementFact(1, DAY, 8, 1, "made"), MovementFact(2, DAY, 9, 1, "made")]
    book = checked(replace(hung([(DAY, 30, 30)], stems=30, cost_of_it=1), runs=[run], movements=made))

    assert [total(book.batch_cost(batch)) for batch in (8, 9)] == [1, 0]
    assert not book.by_event
