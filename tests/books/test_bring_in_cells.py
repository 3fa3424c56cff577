"""What a cell may say, and what is refused with which words."""

from datetime import date
from decimal import Decimal

import pytest

from ledger.books.bringing import columns
from ledger.books.bringing.columns import BadCell, Named, Setting
from ledger.books.bringing.spending import Space, SpentOn

SAID = [
    (columns.Words("note"), "as it stands", "as it stands"),
    (columns.Whole("stems"), "120", 120),
    (columns.Money("net"), "12.3", 1230),
    (columns.Money("net"), "12,30", 1230),
    (columns.PlainDecimal("area"), "37.16", Decimal("37.16")),
    (columns.PerCent("fee"), "1.75", 175),
    (columns.Day("on"), "2024-02-29", date(2024, 2, 29)),
    (columns.Year("season"), "2025", 2025),
    (columns.YesNo("paid"), "no", False),
    (columns.OneOf("kind", words=("open", "glass")), "glass", "glass"),
    (columns.Currency("currency"), "JPY", "JPY"),
    (columns.Zone("zone"), "Europe/Paris", "Europe/Paris"),
    (columns.Key("key"), "bed 1", "bed 1"),
    (columns.Ref("bed", to="beds"), "F1", Named("beds", "F1")),
    (SpentOn("spent_on"), "planting:P1*3; store", [(Named("plantings", "P1"), 3), (Named("", "store"), 1)]),
    (Space("space"), "place:loft", Named("places", "loft")),
]
REFUSED = [
    (columns.Whole("stems"), "12.5"),
    (columns.Whole("stems"), "-1"),
    (columns.Whole("stems"), "9" * 12),
    (columns.Whole("stems"), "١٢"),
    (columns.Money("net"), "12.345"),
    (columns.Money("net"), "1,234.50"),
    (columns.Money("net"), "-1.00"),
    (columns.Money("net"), "9" * 14),
    (columns.PlainDecimal("area"), "3,5"),
    (columns.PlainDecimal("area"), "1e3"),
    (columns.PlainDecimal("area"), "9" * 12),
    (columns.Day("on"), "2025-02-29"),
    (columns.Day("on"), "20250228"),
    (columns.Year("season"), "25"),
    (columns.YesNo("paid"), "true"),
    (columns.OneOf("kind", words=("open", "glass")), "Glass"),
    (columns.Currency("currency"), "XXQ"),
    (columns.Zone("zone"), "Europe/Nowhere"),
    (columns.KindOfCost("kind"), "sundries"),
    (columns.Key("key"), "lot:1"),
    (SpentOn("spent_on"), "planting"),
    (SpentOn("spent_on"), "field:F1"),
    (SpentOn("spent_on"), "planting:P1*0"),
    (SpentOn("spent_on"), "planting:P1*x"),
    (SpentOn("spent_on"), "planting:P1;planting:P1*2"),
    (Space("space"), "planting:P1"),
    (Space("space"), "place:loft*2"),
]


@pytest.mark.parametrize(("column", "text", "value"), SAID)
def test_a_cell_gives_its_value(column, text, value):
    """Numbers, amounts and days are read exactly."""
    assert column.read(text, Setting(digits=2)) == value


@pytest.mark.parametrize(("column", "text"), REFUSED)
def test_what_cannot_be_meant_is_refused_with_a_reason(column, text):
    """A cell that could be read in two ways, or in none, is never guessed at."""
    with pytest.raises(BadCell) as caught:
        column.read(text, Setting(digits=2))

    assert str(caught.value.reason)


@pytest.mark.parametrize("column", [column for column, _text, _value in SAID])
def test_every_column_says_what_may_stand_in_it(column):
    """The page shows it beside the column's name."""
    assert str(column.says())
