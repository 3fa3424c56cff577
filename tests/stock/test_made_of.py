"""What mixed and made-up goods are made of, and what to beware of in them."""

from datetime import date

from ledger.stock.actions import Output, make_run, make_up, set_recipe, undo_run
from ledger.stock.queries import cautions_for, species_of
from tests.factories.drying import HangingFactory, LotFactory, PlantingFactory, SpeciesFactory, TakingDownFactory, VarietyFactory
from tests.factories.made_up import wreath
from tests.factories.stock import LineFactory, batch_of
from tests.stock.browsing import words

AUGUST_1, AUGUST_5 = date(2024, 8, 1), date(2024, 8, 5)


def lot_of(name, caution="", stems=100):
    """Stems cut of a species of their own."""
    variety = VarietyFactory(species=SpeciesFactory(name=name, caution=caution))
    return LotFactory(planting=PlantingFactory(variety=variety), stems=stems)


def sound_of(name, caution="", stems=100):
    """Sound stems of a species of their own."""
    hanging = HangingFactory(lot=lot_of(name, caution, stems), stems=stems)
    TakingDownFactory(hanging=hanging, stems=stems)
    return hanging


def test_a_mixed_bunch_has_the_cautions_of_all_that_went_in(owner):
    """Larkspur is poisonous, statice is not; the name says nothing of either."""
    mixed = LineFactory(variety=None, name="Meadow mix", stems=10)
    larkspur, statice = sound_of("Larkspur", "poisonous"), sound_of("Statice")
    run = make_run(by=owner, on=AUGUST_1, inputs=[(larkspur, 60), (statice, 40)], outputs=[Output(mixed, 10)])

    assert [one.name for one in species_of([mixed])] == ["Larkspur", "Statice"]
    assert cautions_for([mixed]) == [("Larkspur", "poisonous")]
    undo_run(by=owner, run=run)
    assert species_of([mixed]) == []


def test_a_wreath_has_the_cautions_of_the_mixed_bunches_in_it(owner, client_as, box):
    """Two steps back, with fresh stems beside; said on its box and its own page."""
    mixed, ready = LineFactory(variety=None, name="Meadow mix", stems=10), wreath()
    batch = make_run(
        by=owner, on=AUGUST_1, inputs=[(sound_of("Larkspur", "poisonous"), 100)], outputs=[Output(mixed, 10)]
    ).batches.get()
    fresh = lot_of("Spurge", "its sap burns", stems=12)
    make_up(by=owner, on=AUGUST_5, outputs=[Output(ready, 1, box=box)], bunches=[(batch, None, 2)], fresh=[(fresh, 12)])

    assert cautions_for([ready]) == [("Larkspur", "poisonous"), ("Spurge", "its sap burns")]
    for page in (words(client_as(owner), "stock:box", box.pk), words(client_as(owner), "stock:line", ready.pk)):
        assert "its sap burns" in page and "poisonous" in page


def test_what_was_never_made_yet_has_the_cautions_of_its_recipe(owner):
    """A line, a variety, and a line in a line; made of each other they do not go round for ever."""
    first, second = wreath("Garland"), wreath("Wreath")
    larkspur = VarietyFactory(species=SpeciesFactory(name="Larkspur", caution="poisonous"))
    set_recipe(by=owner, on=AUGUST_1, line=first, parts=[(larkspur, 12), (second, 1)])
    set_recipe(by=owner, on=AUGUST_1, line=second, parts=[(first, 1)])

    assert cautions_for([second]) == [("Larkspur", "poisonous")]


def test_a_line_of_a_variety_is_that_variety(line, django_assert_num_queries):
    """One look at the lines, one at their species, however many."""
    batch_of(line, 2)

    with django_assert_num_queries(2):
        assert species_of([line]) == [line.variety.species]
