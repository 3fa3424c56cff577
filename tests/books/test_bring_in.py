"""Bringing in a folder of plain CSVs: everything checked, all or nothing."""

from dataclasses import replace

import pytest
from django.db import IntegrityError

from ledger.books.bringing import NotBroughtIn, bring_in, kinds
from ledger.books.bringing.report import described
from ledger.daybook.models import Pay, WorkEntry
from ledger.facts.models import Holding, User
from ledger.growing.models import Lot, Parting, Planting
from ledger.sales.models import Sale
from tests.books.folders import GOOD, folder
from tests.refusals import refused

pytestmark = pytest.mark.django_db


def wrong(**changed: str) -> NotBroughtIn:
    """What is said of the good folder with some of its files changed."""
    with pytest.raises(NotBroughtIn) as caught:
        bring_in(by=None, files=folder(**changed))
    return caught.value


def at_fault(**changed: str) -> list[tuple[str, int, str]]:
    """Where the faults of the changed folder lie."""
    return [(fault.file, fault.line, fault.column) for fault in wrong(**changed).faults]


def test_a_good_folder_is_brought_in_whole():
    """Every row becomes a record, through the actions of its stage."""
    brought = bring_in(by=None, files=folder())

    assert brought.rows == {f"{file}.csv": len(text.strip().splitlines()) - 1 for file, text in GOOD.items()}
    assert Holding.objects.get().name == "Withy End"
    assert User.objects.get().username == "ada"
    assert Sale.objects.get().lines.get().amount == 4 * 550


def test_money_comes_in_to_the_minor_unit():
    """10.25 and 41,00 are 1025 and 4100 minor units: no amount passes through a binary fraction."""
    pay = "worker,on,first_day,last_day,amount\nwren,2025-07-31,2025-07-01,2025-07-31,\"41,10\"\n"
    bring_in(by=None, files=folder(pay=pay))

    assert Pay.objects.get().amount == 4110
    assert WorkEntry.objects.get().worker.rates.get().per_hour == 1025


def test_a_currency_without_decimals_refuses_them():
    """Half a yen is a fault, not a rounding."""
    holding = GOOD["holding"].replace("GBP", "JPY")

    rates = "worker,on,per_hour\nwren,2025-01-01,1025.5\n"
    found = at_fault(holding=holding, worker_rates=rates, prices=GOOD["prices"].replace("5.50", "550"))

    assert ("worker_rates.csv", 2, "per_hour") in found


def test_spent_on_shares_by_its_weights():
    """A cell names several things, each with its weight."""
    bring_in(by=None, files=folder())

    shares = {share.spent_on.kind: share.weight for share in WorkEntry.objects.get().shares.all()}
    assert shares == {"planting": 3, "lot": 1}


@pytest.mark.parametrize(
    ("file", "before", "after", "line", "column"),
    [
        ("beds", ",20", ",twenty", 2, "area_m2"),
        ("beds", ",20", ",20.005", 2, "area_m2"),
        ("lots", ",200", ",-200", 2, "stems"),
        ("lots", "2025-07-01", "1.7.2025", 2, "on"),
        ("lots", "2025-07-01", "", 2, "on"),
        ("lots", ",full,", ",ripe,", 2, "stage"),
        ("prices", "5.50", "5.505", 2, "price"),
        ("prices", "5.50", '"5,500.00"', 2, "price"),
        ("plantings", "bed1", "bed9", 2, "bed"),
        ("work", "lot:lot1", "lot:lot9", 2, "spent_on"),
        ("work", "lot:lot1", "wheelbarrow", 2, "spent_on"),
        ("ways", ",yes,no", ",yes,perhaps", 2, "trade"),
        ("lots", "on,stage", "on,stadium", 1, "stadium"),
        ("species", "key,name", "key,nickname", 1, "nickname"),
        ("beds", "key,plot,name,area_m2", "key,plot,name", 1, "area_m2"),
        ("lots", ",200", ",200,7,8,9,10", 2, ""),
    ],
)
def test_what_cannot_be_read_is_named_by_file_line_and_column(file, before, after, line, column):
    """A bad number, day, word, amount, key, column or row is one fault where it stands."""
    assert before in GOOD[file]

    assert at_fault(**{file: GOOD[file].replace(before, after)}) == [(f"{file}.csv", line, column)]


def test_what_an_action_refuses_is_named_by_its_column():
    """More taken down than hangs is refused as it would be in the loft."""
    said = wrong(takings=GOOD["takings"].replace("200", "201"))

    assert [(one.file, one.line, one.column) for one in said.faults] == [("takings.csv", 2, "stems")]
    assert "200" in said.faults[0].reason


def test_a_key_stands_once_in_its_file():
    """The second row with a key is faulty; what names it means the first."""
    twice = GOOD["beds"] + "bed1,field,bed 2,10\n"

    assert at_fault(beds=twice) == [("beds.csv", 3, "key")]


def test_a_row_with_two_bad_cells_is_reported_once():
    """One faulty row is one line of the report."""
    assert len(at_fault(lots=GOOD["lots"].replace("2025-07-01", "soon").replace("200", "many"))) == 1


def test_rows_on_a_faulty_one_wait():
    """What rests on a faulty planting is not called faulty."""
    said = wrong(plantings=GOOD["plantings"].replace(",20,", ",21,"))

    assert [(one.file, one.line) for one in said.faults] == [("plantings.csv", 2)]
    waiting = {one.file: one.rests_on for one in said.waiting}
    assert waiting["lots.csv"] == "plantings.csv 2"
    assert {"hangings.csv", "takings.csv", "runs.csv", "run_inputs.csv", "work.csv"} <= set(waiting)


@pytest.mark.parametrize(
    ("file", "before", "after", "waits"),
    [
        ("worker_rates", "10.25", "ten", "work.csv"),
        ("prices", "5.50", "five", "sales.csv"),
        ("takings", "2025-07-15", "2025-06-15", "runs.csv"),
        ("run_outputs", ",20,", ",many,", "sales.csv"),
    ],
)
def test_rows_that_rest_on_a_faulty_one_without_naming_it_wait(file, before, after, waits):
    """No rate, no price, nothing sound or nothing in stock because of a faulty row is no second fault."""
    assert before in GOOD[file]
    said = wrong(**{file: GOOD[file].replace(before, after)})

    assert [one.file for one in said.faults] == [f"{file}.csv"]
    assert waits in {one.file for one in said.waiting}


def test_a_part_and_its_head_are_one_whole():
    """A faulty output lets its run wait, and with it the run's inputs."""
    said = wrong(run_outputs=GOOD["run_outputs"].replace("line1", "line9"))

    assert [(one.file, one.column) for one in said.faults] == [("run_outputs.csv", "line")]
    assert {"runs.csv", "run_inputs.csv"} <= {one.file for one in said.waiting}


def test_several_faults_are_all_found_at_once():
    """The first fault does not hide the others."""
    found = at_fault(
        worker_rates=GOOD["worker_rates"].replace("10.25", "x"), takings=GOOD["takings"].replace("200", "900")
    )

    assert found == [("takings.csv", 2, "stems"), ("worker_rates.csv", 2, "per_hour")]


def test_nothing_is_brought_in_when_one_row_is_faulty():
    """All or nothing: not even the owner is left behind."""
    wrong(sale_lines=GOOD["sale_lines"].replace("4", "many"))

    assert not User.objects.exists()
    assert not Holding.objects.exists()
    assert not Lot.objects.exists()


def test_the_same_folder_comes_in_once():
    """A second run is refused and changes nothing."""
    bring_in(by=None, files=folder())
    owner = User.objects.get()

    with refused("already_brought_in"):
        bring_in(by=owner, files=folder())

    assert Planting.objects.count() == 1


def test_a_holding_that_is_there_is_not_made_again():
    """A changed folder on a ledger in use says that the holding is there already."""
    bring_in(by=None, files=folder())

    with pytest.raises(NotBroughtIn) as caught:
        bring_in(by=User.objects.get(), files=folder(holding=GOOD["holding"].replace("Withy End", "Other End")))

    assert ("holding.csv", 2) in {(one.file, one.line) for one in caught.value.faults}


def test_a_file_of_no_kind_is_reported():
    """A misspelt file is not passed over in silence."""
    assert at_fault(plantigns=GOOD["plantings"]) == [("plantigns.csv", 0, "")]


def test_a_file_that_is_no_text_is_reported():
    """A spreadsheet sent under the name of a CSV is one fault."""
    with pytest.raises(NotBroughtIn) as caught:
        bring_in(by=None, files={**folder(), "expectations.csv": b"PK\x03\x04\xff\xfe"})

    assert [(one.file, one.line) for one in caught.value.faults] == [("expectations.csv", 0)]


def test_an_empty_ledger_needs_its_holding_and_its_owner():
    """Without them nobody could have recorded anything."""
    with refused("no_owner"):
        bring_in(by=None, files={name: text for name, text in folder().items() if name != "holding.csv"})


def test_a_faulty_holding_is_reported_with_all_else():
    """Where its file cannot be read nobody is known to own the ledger; the faults are shown all the same."""
    found = at_fault(holding=GOOD["holding"].replace(",owner", ",keeper"), lots=GOOD["lots"].replace("200", "many"))

    assert found == [("holding.csv", 1, "keeper"), ("lots.csv", 2, "stems")]


def test_each_role_brings_in_what_it_may_enter(bookkeeper):
    """A bookkeeper's folder may hold bills, not plots."""
    files = {"plots.csv": GOOD["plots"].encode(), "beds.csv": GOOD["beds"].encode()}

    with pytest.raises(NotBroughtIn) as caught:
        bring_in(by=bookkeeper, files=files)

    assert [(one.file, one.line) for one in caught.value.faults] == [("beds.csv", 0), ("plots.csv", 0)]


def test_every_day_and_year_is_moved_by_whole_years():
    """Seasons move with their days."""
    bring_in(by=None, files=folder(), shift=-1)

    planting = Planting.objects.get()
    assert (planting.on.isoformat(), planting.season) == ("2024-03-01", 2024)


def test_work_before_the_planting_is_brought_in_after_it():
    """Rows come in by day, but never before what they name."""
    bring_in(by=None, files=folder(work=GOOD["work"].replace("2025-07-01", "2025-02-01").replace(";lot:lot1", "")))

    assert WorkEntry.objects.get().on < Planting.objects.get().on


def test_the_docstring_of_the_kinds_lists_every_file_and_column():
    """What is written down is what is read."""
    written = " ".join((kinds.__doc__ or "").split())

    for line in described():
        file, columns = line.split(".csv", 1)
        assert f" {file} {' '.join(columns.split())}" in written


@pytest.mark.parametrize("way", ["cut_dry", "drawn", "thrown_out"])
def test_what_became_of_stems_is_brought_in(way):
    """Stems cut dry, drawn and thrown out leave their lot as they would in the field."""
    lots = GOOD["lots"].replace(",200", ",205")
    bring_in(by=None, files=folder(lots=lots, partings=f"lot,on,way,stems,why\nlot1,2025-07-01,{way},5,tried\n"))

    assert Parting.objects.get(way=way).stems == 5


def test_hours_on_the_store_and_the_holding_are_brought_in():
    """They need no key: there is one store and one holding."""
    bring_in(by=None, files=folder(work=GOOD["work"].replace("planting:p1*3;lot:lot1", "store;holding*2")))

    assert {share.spent_on.kind: share.weight for share in WorkEntry.objects.get().shares.all()} == {"store": 1, "holding": 2}


def test_what_the_database_refuses_is_a_fault(monkeypatch):
    """What no check of ours foresaw is reported with its row like the rest."""

    def broken(**given):
        raise IntegrityError("no such shelf")

    monkeypatch.setitem(kinds.KINDS, "boxes", replace(kinds.KINDS["boxes"], act=broken))
    said = wrong()

    assert [(one.file, one.line) for one in said.faults] == [("boxes.csv", 2)]
    assert "no such shelf" in said.faults[0].reason


def test_all_waits_for_a_holding_that_is_refused():
    """Nothing else can be judged without its currency and its years."""
    said = wrong(holding=GOOD["holding"].replace(",12,31,", ",13,31,"))

    assert [(one.file, one.column) for one in said.faults] == [("holding.csv", "year_end_month")]
    assert {one.rests_on for one in said.waiting if one.file == "workers.csv"} == {"holding.csv"}


def test_a_sale_of_nothing_is_a_fault_of_its_whole_row():
    """A refusal that is about no one column names none."""
    assert ("sales.csv", 2, "") in at_fault(sale_lines="sale,line,quantity\n")


def test_a_ledger_without_a_holding_needs_one():
    """Somebody may be there before the holding is."""
    early = User.objects.create(username="early", role="owner")

    with pytest.raises(NotBroughtIn) as caught:
        bring_in(by=early, files={"plots.csv": GOOD["plots"].encode()})

    assert [(one.file, one.line) for one in caught.value.faults] == [("holding.csv", 0)]


def test_nothing_at_all_is_refused(owner):
    """A folder of empty files is a mistake."""
    with refused("empty"):
        bring_in(by=owner, files={"plots.csv": b"key,name,kind,area_m2\n"})
