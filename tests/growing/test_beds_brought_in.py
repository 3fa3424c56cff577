"""Beds brought in with their places on the plan of their plot, and the places of the demonstration's beds."""

from decimal import Decimal
from itertools import combinations

import pytest

from grower.settings import ROOT
from ledger.books.bringing import NotBroughtIn, read_folder
from ledger.books.bringing.acting import bring_in
from ledger.growing.models import Bed, Plot
from ledger.growing.queries import place_of, plot_plans
from ledger.reckoning.plan import lies_within, overlap

HEADS = "key,plot,name,area_m2,left_m,front_m,long_m,across\n"
PLOTS = "key,name,kind,area_m2,wide_m\np,Top,open,50,10\n"


def bring(owner, *beds):
    """A plot ten metres wide and five deep with these beds."""
    files = {"plots.csv": PLOTS, "beds.csv": HEADS + "".join(f"{bed}\n" for bed in beds)}
    return bring_in(by=owner, files={name: text.encode() for name, text in files.items()})


def test_beds_come_with_their_places_or_without(owner):
    """One away from the front, one across behind it, one nobody measured."""
    bring(owner, "a,p,1,8,0.50,0,4,", "b,p,2,5,5,0,5,yes", "c,p,3,4,,,,")
    first, second, third = (place_of(bed) for bed in Bed.objects.order_by("pk"))

    assert Plot.objects.get().wide_m == 10
    assert (first.wide, first.deep, second.wide, second.deep, third) == (2, 4, 5, 1, None)


@pytest.mark.parametrize(("bed", "column", "said"), [
    ("b,p,2,8,9,0,4,", "left_m", "the plot is 10.00 m wide"), ("b,p,2,8,1,0,4,", "left_m", "would lie on 1"),
    ("b,p,2,8,1,,,", "front_m", "needs its length"),
])
def test_what_does_not_fit_is_a_fault_of_its_own_row_and_column(owner, bed, column, said):
    """Beside a bed two metres wide at the left."""
    with pytest.raises(NotBroughtIn) as wrong:
        bring(owner, "a,p,1,8,0,0,4,", bed)
    (fault,) = wrong.value.faults

    assert (fault.file, fault.line, fault.column) == ("beds.csv", 3, column)
    assert said in fault.reason


def test_every_bed_of_the_demonstration_is_laid_out_within_its_plot_and_beside_the_others(owner):
    """None sticks out, none lies on another, each is drawn with its own area."""
    files = read_folder(ROOT / "fixtures" / "demo")
    bring_in(by=owner, files={name: files[name] for name in ("plots.csv", "beds.csv")})
    for plan in plot_plans(Bed.objects.of_plots()):
        assert plan.unlaid == []
        assert all(lies_within(one.patch, plan.patch) for one in plan.beds)
        assert not any(overlap(one.patch, two.patch) for one, two in combinations(plan.beds, 2))
        assert all(one.patch.area == Decimal(one.bed.area_m2) for one in plan.beds)
