"""What a fresh stem, or a unit of a material, is to cost; every figure worked by hand."""

from datetime import date
from decimal import Decimal

from ledger.costing.actions import plan_overheads
from ledger.costing.queries.expected import Expected, materials_expected, stems_expected
from ledger.daybook.actions import record_purchase, use_material
from ledger.daybook.models import Material
from ledger.facts.models import CostObject, User
from ledger.growing.actions import expect
from ledger.growing.models import Planting
from ledger.reckoning.sharing import MILLION
from tests.factories.daybook import bought, the_holding
from tests.factories.growing import ClearingFactory, ExpectationFactory, LotFactory, PartingFactory, PlantingFactory
from tests.factories.made_up import MaterialFactory
from tests.thread import spin_thread

PLANTED, JUNE, CUT, AFTER_CUT, YEAR_END = (
    date(2024, 4, 1), date(2024, 6, 1), date(2024, 7, 1), date(2024, 7, 2), date(2024, 12, 31)
)


def spend(owner: User, on: CostObject, amount: int, *, day: date = PLANTED, quantity: int | None = None) -> None:
    """A bill of so much, spent on one thing."""
    line = bought("seed", kind="plants", net=amount, tax=0, spent_on=[(on, 1)], quantity=quantity)
    record_purchase(by=owner, on=day, supplier="Seed house", lines=[line])


def planted(owner: User, amount: int = 10_000, **given: object) -> Planting:
    """A planting that cost so much."""
    planting = PlantingFactory(on=PLANTED, **given)
    spend(owner, planting.cost_object, amount)
    return planting


def of_variety(planting: Planting, on: date) -> Expected | None:
    """What a stem of its variety is to cost."""
    return stems_expected({planting.variety_id}, on).get(planting.variety_id)


def test_stems_cut_this_season_cost_what_they_bear_and_those_thrown_out_besides(owner: User) -> None:
    """112.00 over 400 stems cut of which 100 were thrown out, the season over: 37.33 each of three hundred."""
    planting = spin_thread(owner).planting
    found = of_variety(planting, YEAR_END)
    assert found == Expected(11_200 * MILLION, 300, final=True)
    assert found.of(3) == 112 * MILLION


def test_while_the_season_runs_they_bear_their_part_of_those_expected(owner: User) -> None:
    """100.00, 400 stems expected: the first hundred cut bear a quarter."""
    planting = planted(owner)
    ExpectationFactory(planting=planting, stems=400)
    LotFactory(planting=planting, on=CUT, stems=100)
    assert of_variety(planting, CUT) == Expected(2_500 * MILLION, 100, final=False)


def test_before_the_first_cut_the_stems_expected_bear_the_larger_of_cost_and_plan(owner: User) -> None:
    """100.00 so far and 400 stems: 0.25 each; with 300.00 planned in all 0.75; a plan below what was spent says nothing."""
    planting = planted(owner)
    ExpectationFactory(planting=planting, stems=400)
    assert of_variety(planting, JUNE) == Expected(10_000 * MILLION, 400, final=False)
    expect(by=owner, planting=planting, on=JUNE, season=2024, stems=400, planned_cost=30_000)
    assert of_variety(planting, JUNE) == Expected(30_000 * MILLION, 400, final=False)
    expect(by=owner, planting=planting, on=JUNE, season=2024, stems=400, planned_cost=9_000)
    assert of_variety(planting, JUNE) == Expected(10_000 * MILLION, 400, final=False)


def test_a_planting_cleared_is_expected_to_give_nothing_more(owner: User) -> None:
    """It failed; what nothing else says cannot be said."""
    planting = planted(owner)
    ExpectationFactory(planting=planting, stems=400)
    ClearingFactory(planting=planting, on=JUNE)
    assert of_variety(planting, JUNE) is None
    assert of_variety(planting, date(2024, 5, 31)) is not None


def test_a_perennial_bears_the_slice_of_its_season(owner: User) -> None:
    """100.00 over four productive seasons: 25.00 over the hundred stems expected of this one."""
    planting = planted(owner, perennial=True, productive_seasons=4)
    ExpectationFactory(planting=planting, stems=100)
    assert of_variety(planting, JUNE) == Expected(2_500 * MILLION, 100, final=False)


def test_where_nothing_is_expected_the_latest_season_speaks(owner: User) -> None:
    """In the spring after, stems cost what last year's did."""
    planting = spin_thread(owner).planting
    assert of_variety(planting, date(2025, 3, 1)) == Expected(11_200 * MILLION, 300, final=True)


def test_too_early_to_say_stays_unsaid(owner: User) -> None:
    """Cut, and no number of stems expected; never planted; all thrown out."""
    planting, other, wilted = planted(owner), PlantingFactory(), planted(owner)
    LotFactory(planting=planting, on=CUT, stems=100)
    ExpectationFactory(planting=wilted, stems=100)
    PartingFactory(lot=LotFactory(planting=wilted, on=CUT, stems=100), stems=100, on=AFTER_CUT)
    asked = {one.variety_id for one in (planting, other, wilted)}
    assert stems_expected(asked, AFTER_CUT) == {}
    assert stems_expected((), CUT) == {}


def test_overheads_come_on_top_but_no_storage(owner: User) -> None:
    """10 % overheads and 5 % idle space and bad luck on the usual base; what keeping boxes costs is not borne fresh."""
    planting = planted(owner)
    ExpectationFactory(planting=planting, stems=400)
    plan_overheads(
        by=owner, on=PLANTED, year=2024, overheads=1_000, usual_idle_and_luck=500, usual_base=10_000, storage=2_000
    )
    assert of_variety(planting, JUNE) == Expected(11_500 * MILLION, 400, final=False)


def unit_cost(material: Material, on: date) -> Expected | None:
    """What one of a material costs."""
    return materials_expected({material.pk}, on).get(material.pk)


def test_a_material_costs_its_moving_average(owner: User) -> None:
    """100 for 20.00, then 100 for 40.00: 0.30 each, also after fifty were used."""
    ring = MaterialFactory()
    assert unit_cost(ring, PLANTED) is None
    spend(owner, ring.cost_object, 2_000, quantity=100)
    assert unit_cost(ring, PLANTED) == Expected(2_000 * MILLION, 100)
    spend(owner, ring.cost_object, 4_000, day=JUNE, quantity=100)
    use_material(by=owner, material=ring, on=JUNE, quantity=50, spent_on=the_holding()[0][0])
    found = unit_cost(ring, JUNE)
    assert found is not None and found.of(10) == 300 * MILLION and found.units == 150


def test_of_a_material_used_up_the_last_use_speaks(owner: User) -> None:
    """All hundred went: the next will cost about as much."""
    ring = MaterialFactory()
    spend(owner, ring.cost_object, 2_000, quantity=100)
    use_material(by=owner, material=ring, on=JUNE, quantity=100, spent_on=the_holding()[0][0])
    assert unit_cost(ring, JUNE) == Expected(2_000 * MILLION, 100)
    assert materials_expected((), JUNE) == {}


def test_of_two_plantings_of_a_variety_all_stems_count(owner: User) -> None:
    """100.00 over 400 and 200.00 over 100: 300.00 over 500."""
    first = planted(owner)
    second = planted(owner, 20_000, variety=first.variety, area_m2=Decimal(5))
    ExpectationFactory(planting=first, stems=400)
    ExpectationFactory(planting=second, stems=100)
    assert of_variety(first, JUNE) == Expected(30_000 * MILLION, 500, final=False)
