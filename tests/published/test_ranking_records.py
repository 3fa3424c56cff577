"""Published rankings read back from plantings, sales and hours; sources in examples.json."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from ledger.books.actions import set_least_stems
from ledger.books.queries.report import Question, report
from ledger.growing.models import Planting
from ledger.reckoning.sharing import MILLION, to_minor
from ledger.sales.actions import Sold, sell
from tests.factories.daybook import RateFactory, WorkerFactory, WorkFactory
from tests.factories.growing import (
    BedFactory,
    ClearingFactory,
    LotFactory,
    PlantingFactory,
    PlotFactory,
    SpeciesFactory,
    VarietyFactory,
)
from tests.factories.pricing import StallFactory

from .records import CUT, YEAR_END, cents, spend

PLANTED, CLEARED, UNITS = date(2024, 4, 1), date(2024, 9, 2), 4


@pytest.fixture
def gate(owner):
    """Where everything is sold, at no cost."""
    return StallFactory(name="Gate")


def grown(name: str, cost: int, area: str = "10.00") -> Planting:
    """A planting of one species, on a bed of its own that costs nothing, with a bill of so much; cleared in September."""
    bed = BedFactory(plot=PlotFactory(area_m2=Decimal(area)), area_m2=Decimal(area))
    variety = VarietyFactory(species=SpeciesFactory(name=name))
    planting = PlantingFactory(variety=variety, bed=bed, on=PLANTED, area_m2=Decimal(area), season=2024)
    spend(Decimal(cost) / 100, planting)
    return planting


def cut_and_sold(owner, gate, planting: Planting, stems: int, price: int) -> None:
    """So many stems cut and sold fresh the same day; the planting is cleared later."""
    lot = LotFactory(planting=planting, on=CUT, stems=stems)
    sell(by=owner, on=CUT, way=gate, lines=[Sold(lot=lot, quantity=stems, price=price)])
    ClearingFactory(planting=planting, on=CLEARED)


def hours_on(planting: Planting, minutes: int, worker) -> None:
    """Hours over as many days as they take, ten a day at most."""
    days = -(-minutes // 600)
    for day in range(days):
        part = minutes // days
        WorkFactory(worker=worker, on=CUT + timedelta(days=day), minutes=part, spent_on=[(planting.cost_object, 1)])


def ranks(scarce: str, **asked):
    """name -> contribution for each unit of what is scarce, in the order ranked, in minor units; and what is not ranked."""
    found = report(Question(2024, 2024, "species", scarce, **asked), YEAR_END).ranking
    return {row.of.name: to_minor(row.rate) for row in found.rows}, {group.name: why for group, why in found.apart}


@pytest.fixture
def three_products(published, owner, gate):
    """LF-01: four of each product as stems sold fresh, their variable cost part wage and part bill, their hours worked."""
    for product in published["LF-01"]["inputs"]["products"]:
        minutes = int(Decimal(product["hours"]) * 60 * UNITS)
        planting = grown(product["name"], cents(product["variable_cost"]) * UNITS - 5 * minutes)
        hours_on(planting, minutes, worker=rated_worker_at(300))
        cut_and_sold(owner, gate, planting, UNITS, cents(product["price"]))


def rated_worker_at(per_hour: int):
    """A paid worker at 3.00 an hour, 5 minor units a minute."""
    return RateFactory(worker=WorkerFactory(), per_hour=per_hour).worker


def test_lf_01_the_program_ranks_c_a_b(published, three_products):
    """Accounting lesson: contributions of 10, 12 and 6 over 2.5, 4 and 1 hours are 4, 3 and 6 an hour: C, A, B."""
    expected = published["LF-01"]["expected"]
    ranked, apart = ranks("hours")

    assert list(ranked) == expected["rank"] and not apart
    assert ranked == {name: cents(rate) for name, rate in expected["contribution_per_hour"].items()}


def test_lf_01_in_one_month_only_its_hours_count(published, three_products):
    """All hours were worked in July: July ranks as the season does, and in August nothing took any."""
    assert list(ranks("hours", month=7)[0]) == published["LF-01"]["expected"]["rank"]
    assert ranks("hours", month=8) == ({}, dict.fromkeys("ABC", "nothing_taken"))


def test_lf_02_the_dearer_piece_ranks_second(published, owner, gate):
    """Textbook: X brings 300 in an hour, Y 600 in three; 300 and 200 an hour put X first."""
    inputs, expected = published["LF-02"]["inputs"], published["LF-02"]["expected"]
    for product in inputs["products"]:
        minutes = int(product["hours"]) * 60
        planting = grown(product["name"], 1000)
        hours_on(planting, minutes, worker=rated_worker_at(300))
        cut_and_sold(owner, gate, planting, 1, cents(product["contribution"]) + 1000 + 5 * minutes)
    ranked, _apart = ranks("hours")

    assert list(ranked) == ["X", "Y"]
    assert ranked == {name: cents(rate) for name, rate in expected["contribution_per_hour"].items()}


def test_cornell_lisianthus_earns_its_ground_before_sunflowers(published, owner, gate):
    """Cornell: 2.08 and 0.14 a square foot; on 1,000 square feet (92.90 m2) 2,080 and 140 net are 22.39 and 1.51 a m2."""
    inputs, expected = published["CORNELL-SQFT"]["inputs"], published["CORNELL-SQFT"]["expected"]
    for name, per_sq_ft in inputs["net_income_per_sq_ft"].items():
        planting = grown(name, 99_700, area=inputs["m2_per_1000_sq_ft"])
        hours_on(planting, 60, worker=rated_worker_at(300))
        cut_and_sold(owner, gate, planting, 1000, (100_000 + cents(per_sq_ft) * 1000) // 1000)
    found = report(Question(2024, 2024, "species"), YEAR_END)
    per_m2 = {group.name: to_minor(group.figures.per_m2 or 0) for group in found.groups}

    assert [row.of.name for row in found.ranking.rows] == expected["rank"]
    assert per_m2 == {name: cents(amount) for name, amount in expected["per_m2"].items()}


@pytest.fixture
def ten_crops(published, owner, gate):
    """SARE FNE18-892: ten crops; of three the hours were never written down, two gave eight stems, five can be ranked.

    The report's own amounts were not seen; these are invented.
    """
    set_least_stems(by=owner, on=date(2024, 1, 1), stems=20)
    worker = rated_worker_at(300)
    for number in range(published["SARE-FNE18-892"]["inputs"]["crops"]):
        planting = grown(f"Crop {number}", 1000)
        if not 5 <= number < 8:
            hours_on(planting, 60, worker=worker)
        cut_and_sold(owner, gate, planting, 8 if number >= 8 else 100, 50 + number)


@pytest.mark.parametrize("scarce", ["bed", "hours"])
def test_fne18_892_a_missing_figure_is_inconclusive_and_too_few_stems_are_not_ranked(published, ten_crops, scarce):
    """Northeast SARE grant FNE18-892: three of ten crops lack a data point and two gave too few stems; five are ranked."""
    expected = published["SARE-FNE18-892"]["expected"]
    ranked, apart = ranks(scarce)

    assert list(ranked) == [f"Crop {number}" for number in (4, 3, 2, 1, 0)]
    assert len(ranked) == expected["ranked_crops"]
    assert list(apart.values()).count("hours") == expected["missing_data_point"]
    assert list(apart.values()).count("too_few") == expected["too_few_stems"]


def test_fne18_892_inconclusive_is_no_nought(ten_crops):
    """Nothing is said of the three: no verdict, though each brought in more than its bill of 10.00."""
    found = report(Question(2024, 2024, "species"), YEAR_END)
    by_name = {one.of.name: one for one in found.verdicts}

    assert {by_name[f"Crop {number}"].paid.value for number in range(5, 10)} == {"unsaid"}
    assert {by_name[f"Crop {number}"].paid.value for number in range(5)} == {"bed_and_work"}
    assert by_name["Crop 5"].of.figures.earned == (5500 - 1000) * MILLION
