"""The records of trays, parts, perennials, weights and values brought in from files."""

from datetime import date
from decimal import Decimal

import pytest

from ledger.books.bringing import NotBroughtIn
from ledger.books.bringing.acting import bring_in
from ledger.costing.queries import fresh_book
from ledger.growing.models import Clearing, CutOver, CutValue, Division, Life, Lot, Planting, SeedlingsDumped, WaterLimit
from ledger.growing.queries import areas_of

FILES = {
    "plots.csv": "key,name,kind,area_m2\np,Top,open,50\n",
    "beds.csv": "key,plot,name,area_m2\na,p,1,10\nb,p,2,10\nc,p,3,10\n",
    "species.csv": "key,name\ns,Statice\n", "varieties.csv": "key,species,name\nv,s,Blue\nw,s,White\n",
    "plantings.csv": (
        "key,on,variety,bed,area_m2,season,perennial,productive_seasons,origin,plants,divided_from,parts,of_parts\n"
        "t,2024-03-01,v,,,2024,,,trays,200,,,\ng,2024-03-01,v,,,2024,,,gathered,,,,\n"
        "m,2024-04-01,v,c,6,2024,yes,4,,,,,\nd,2024-11-01,v,c,2,2025,yes,5,,,m,1,3\n"
        "f,2024-06-01,w,b,5,2024,,,,,,,\n"
    ),
    "planted_out.csv": "planting,on,bed,area_m2,plants\nt,2024-05-01,a,10,150\n",
    "part_clearings.csv": "planting,on,bed,area_m2,why\nt,2024-06-01,a,4,slugs\n",
    "seedlings_dumped.csv": "planting,on,plants,why\nt,2024-05-02,50,spare\n",
    "cuttings_over.csv": "planting,on,note\nm,2024-08-20,low\n",
    "lives.csv": "planting,on,productive_seasons,why\nm,2024-11-01,6,thriving\n",
    "lots.csv": (
        "key,planting,on,stage,stems,fresh_g,sample_stems,sample_g,dry\n"
        "l,t,2024-07-01,full,,5000,20,410,\nh,g,2024-07-01,seed,60,,,,yes\n"
    ),
    "cut_values.csv": "lot,on,way,per_hundred\nl,2024-07-01,hung,15.00\nl,2024-07-01,sold_fresh,24.00\n",
    "water_limits.csv": "on,days\n2024-01-01,1\n",
    "clearings.csv": "planting,on,why,failed\nf,2024-08-01,frost,yes\n",
}


def sent(**changed):
    """The files as bytes, some of them changed."""
    return {name: text.encode() for name, text in {**FILES, **changed}.items()}


def test_all_of_it_is_brought_in(owner):
    """Trays planted out, thinned and half cleared; a perennial divided; a weighed and a dry lot; a failure; a limit."""
    bring_in(by=owner, files=sent())
    trays = Planting.objects.get(origin="trays")

    assert list(areas_of(trays, date(2024, 6, 1)).values()) == [Decimal(6)]
    assert (SeedlingsDumped.objects.get().plants, CutOver.objects.get().note) == (50, "low")
    assert Life.objects.get().productive_seasons == 6
    division = Division.objects.get()
    assert (division.parts, division.of_parts, division.daughter.productive_seasons) == (1, 3, 5)
    assert sorted(Lot.objects.values_list("stems", "about")) == [(60, False), (244, True)]
    assert dict(CutValue.objects.values_list("way", "per_hundred")) == {"hung": 1500, "sold_fresh": 2400}
    assert Clearing.objects.get().failed and WaterLimit.objects.get().days == 1
    assert fresh_book(date(2025, 6, 1)) is not None


@pytest.mark.parametrize(("was", "now", "column"), [
    ("d,2024-11-01,v,c,2", "d,2024-11-01,w,c,2", "variety"), ("c,2,2025,yes,5,,,m,1,3", "c,2,2025,yes,5,trays,,m,1,3", "origin"),
    ("c,2,2025,yes,5,,,m,1,3", "c,2,2025,yes,5,,,m,1,", "of_parts"), ("m,1,3", "m,3,3", "parts"),
    ("t,2024-03-01,v,,,", "t,2024-03-01,v,a,5,", "bed"),
])
def test_what_does_not_fit_is_refused_with_its_column(owner, was, now, column):
    """Another variety, an origin of its own, parts of nothing, all the parts, trays with a bed."""
    assert was in FILES["plantings.csv"]
    with pytest.raises(NotBroughtIn) as caught:
        bring_in(by=owner, files=sent(**{"plantings.csv": FILES["plantings.csv"].replace(was, now)}))

    assert [(one.file, one.column) for one in caught.value.faults] == [("plantings.csv", column)]
    assert not Planting.objects.exists()
