"""Bare rows the database itself refuses, one for every constraint of the ledger."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.apps import apps
from django.db import IntegrityError, connection, models, transaction
from django.utils import timezone

from tests.flushing import without_guards

pytestmark = [pytest.mark.django_db, pytest.mark.unproved]
NOW, LATER = timezone.now(), date(2025, 1, 1)
# What spoils a row of the model in the eyes of its constraint.
SPOILT: dict[str, dict[str, Any]] = {
    "cost_object_kind_known": {"kind": "barn"}, "door_link_purpose_known": {"purpose": "window"},
    "holding_only_one": {"id": 2}, "holding_year_within_calendar": {"year_end_month": 13},
    "tax_status_known": {"status": "unsure"}, "tax_rate_within_whole": {"rate_bp": 10_001},
    "user_role_known": {"role": "guest"}, "ledger_state_only_one": {"id": 2},
    "pay_stretch_forward": {"last_day": models.F("first_day") - timedelta(1)}, "work_entry_within_a_day": {"minutes": 1441},
    "work_share_weight_positive": {"weight": 0}, "purchase_share_weight_positive": {"weight": 0},
    "purchase_line_stretch_whole": {"covers_from": LATER, "covers_to": date(2024, 1, 1)},
    "purchase_line_quantity_positive": {"quantity": 0}, "material_unit_known": {"unit": "miles"},
    "material_use_positive": {"quantity": 0}, "clock_stops_after_start": {"stopped_at": models.F("started_at") - timedelta(1)},
    "plot_kind_known": {"kind": "cellar"}, "plot_area_positive": {"area_m2": 0}, "bed_area_positive": {"area_m2": 0},
    "species_dries": {"fresh_moisture_bp": 8000, "dry_moisture_bp": 9000},
    "planting_area_positive": {"area_m2": 0}, "planting_annual_one_season": {"productive_seasons": 2},
    "planting_bed_has_area": {"area_m2": None}, "planting_origin_fits_bed": {"origin": "trays"},
    "planting_plants_positive": {"plants": 0}, "planted_out_area_positive": {"area_m2": 0},
    "planted_out_plants_positive": {"plants": 0}, "part_cleared_area_positive": {"area_m2": 0},
    "seedlings_dumped_plants_positive": {"plants": 0}, "life_seasons_sensible": {"productive_seasons": 61},
    "division_parts_below_whole": {"parts": models.F("of_parts")}, "lot_weighed_whole": {"fresh_g": 1},
    "cut_value_way_known": {"way": "thrown_out"}, "water_limit_sensible": {"days": 61},
    "lot_stems_sensible": {"stems": 0}, "lot_bundles_make_stems": {"bundles": 1, "per_bundle": 999_999},
    "lot_stage_known": {"stage": "wilted"}, "gone_over_stems_sensible": {"stems": 0},
    "parting_stems_positive": {"stems": 0}, "parting_way_known": {"way": "eaten"},
    "place_unit_known": {"unit": "acres"}, "place_room_positive": {"room": 0},
    "hanging_stems_positive": {"stems": 0}, "hanging_room_positive": {"room": 0},
    "hanging_bunch_stems_positive": {"bunch_stems": 0}, "oddments_stems_positive": {"stems": 0},
    "taking_down_sound_within_stems": {"sound": models.F("stems") + 1}, "taking_down_stems_positive": {"stems": 0, "sound": 0},
    "loss_stems_positive": {"stems": 0}, "loss_reason_known": {"reason": "theft"},
    "loss_norm_below_whole": {"share_bp": 10_000}, "disaster_norm_below_whole": {"norm_bp": 10_000},
    "reading_says_something": {"temperature_tenths_c": None, "humidity_percent": None},
    "reading_temperature_plausible": {"temperature_tenths_c": 701}, "reading_humidity_within_whole": {"humidity_percent": 101},
    "damp_limit_within_whole": {"humidity_percent": 0},
    "line_grade_known": {"grade": "thirds"}, "line_finish_known": {"finish": "gilded"}, "line_unit_whole": {"stems": None},
    "line_variety_or_name": {"variety": None, "name": ""},
    "recipe_part_of_one_thing": {"variety": None, "of_line": None, "material": None},
    "recipe_part_quantity_positive": {"quantity": 0}, "run_kind_known": {"kind": "stolen"},
    "run_input_of_one_thing": {"hanging": None, "parting": None, "oddments": None},
    "movement_of_run_made_up": {"run": 1, "kind": "drawn", "bunches": -1},
    "keeps_for_some_days": {"days": 0}, "shelf_room_some": {"bunches": 0},
    "held_back_until_not_before": {"until": models.F("on") - timedelta(1)},
    "run_input_stems_positive": {"stems": 0}, "batch_made_positive": {"made": 0},
    "movement_sign_fits_kind": {"bunches": 0}, "content_not_below_zero": {"bunches": -1},
    "balance_held_within_on_hand": {"held": models.F("on_hand") + 1}, "hold_change_sign_fits": {"bunches": 0},
    "kind_basis_stock_within_shelf": {"in_stock": True, "in_shelf": False},
    "overhead_plan_base_positive": {"usual_base": 0}, "way_terms_below_whole": {"fee_bp": 10_000},
    "way_terms_fixed_needs_takings": {"fixed_day": 1, "usual_takings": 0}, "price_positive": {"amount": 0},
    "way_terms_parcel_needs_worth": {"carriage": 1, "usual_parcel": 0}, "way_kind_known": {"kind": "barter"},
    "way_terms_ending_within": {"ending": 50, "ending_every": 50}, "way_terms_step_positive": {"ending": None, "ending_every": 0},
    "price_step_positive": {"at_least": 0}, "customer_price_positive": {"amount": 0},
    "customer_price_step_positive": {"at_least": 0}, "offer_of_several": {"quantity": 1},
    "offer_ends_after_it_begins": {"until": models.F("on") - timedelta(1)}, "least_stems_positive": {"stems": 0},
    "plot_width_positive": {"wide_m": 0}, "bed_laid_out_whole": {"left_m": 1, "front_m": 1, "long_m": 0},
    "order_line_promised_within_asked": {"promised": models.F("asked") + 1},
    "invoice_adds_up": {"gross": models.F("net") + models.F("tax") + 1},
    "invoice_never_undone": {"undone_at": NOW, "undone_by": 1},
    "invoice_credit_names_its_invoice": {"kind": "credit", "credits": None}, "payment_some": {"amount": 0},
    "invoice_deposit_of_a_job": {"deposit": models.F("gross") + 1},
    "sale_line_dried_or_fresh": {"line": None, "parting": None}, "sale_line_quantity_positive": {"quantity": 0, "off": 0},
    "sale_line_off_within_amount": {"off": models.F("quantity") * models.F("price") + 1, "offer": 1},
    "sale_line_off_has_offer": {"off": 1, "offer": None},
    "order_terms_least_positive": {"least": 0}, "pack_rule_positive": {"multiple": 0}, "later_some": {"bunches": 0},
    "asked_change_some": {"more": 0}, "invoice_line_bills_one_thing": {"charge": 1, "broken": 1},
    "standing_order_unit_known": {"unit": "days"}, "standing_order_every_positive": {"every": 0},
    "standing_order_first_not_before": {"first_on": date(1990, 1, 1)},
    "stall_back_row_of_one_thing": {"count": None, "movement": None, "parting": None},
    "stock_take_of_shelf_or_line": {"shelf": "Z9", "line": 1}, "repacking_what_known": {"what": "thrown"},
    "count_of_box_or_take": {"box": None, "take_end": None},
    "sale_paid_known": {"paid": "promised"}, "tin_count_when_known": {"when": "noon"},
    "card_payout_days_in_order": {"first_day": models.F("last_day") + timedelta(1)},
    "card_payout_fee_below_gross": {"fee": models.F("gross")},
    "job_kind_known": {"kind": "circus"}, "job_not_before_asked": {"held_on": models.F("on") - timedelta(1)},
    "job_piece_some": {"quantity": 0}, "piece_part_some": {"quantity": 0}, "deposit_some": {"amount": 0},
    "piece_part_of_one_thing": {"line": None, "variety": None, "material": None, "bought": "", "cost": 0},
    "piece_part_cost_of_bought": {"line": 1, "variety": None, "material": None, "bought": "", "cost": 1},
    "job_charge_of_piece_or_hire": {"piece": None, "hire": None}, "job_charge_some": {"quantity": 0},
    "invoice_of_order_or_job": {"order": None, "job": None},
    "hire_item_count_some": {"more": 0}, "job_hire_some": {"quantity": 0}, "hire_out_some": {"quantity": 0},
    "job_hire_days_in_order": {"first_day": models.F("last_day") + timedelta(1)},
    "hire_back_some": {"whole": 0, "broken": 0, "charge": 0},
    "hire_back_charge_for_broken": {"whole": 1, "broken": 0, "charge": 1},
    "workshop_some_places": {"places": 0}, "workshop_not_before_entered": {"held_on": models.F("on") - timedelta(1)},
    "places_sold_some": {"places": 0}, "places_sold_paid_known": {"paid": "promised"}, "places_given_back_some": {"places": 0},
    "taken_for_job_or_workshop": {"job": None, "workshop": None, "used": None},
    "taken_dried_or_fresh": {"line": None, "parting": None, "used": None}, "taken_some": {"quantity": 0},
    "taken_used_of_job": {"used": 1, "line": None, "parting": 1}, "came_back_some": {"quantity": 0},
}
OURS = [model for model in apps.get_models() if model.__module__.startswith("ledger.")]
ALL = [(one, model) for model in OURS for one in model._meta.constraints]
CHECKS = [(one, model) for one, model in ALL if isinstance(one, models.CheckConstraint)]
ONCES = [(one, model) for one, model in ALL if isinstance(one, models.UniqueConstraint)]


def named(cases: list[tuple[Any, type[models.Model]]]) -> list[Any]:
    """The constraints as cases under their own names."""
    return [pytest.param(one, model, id=one.name) for one, model in cases]


def spoiling(name: str) -> dict[str, Any]:
    """What spoils a row for the constraint of that name."""
    return {"undone_at": None, "undone_by": 1} if name.endswith("_undone_whole") else SPOILT[name]


def test_every_check_has_a_row_that_spoils_it():
    """A new constraint is tried as well, and none that is gone is still named here."""
    assert {one.name for one, _model in CHECKS if not one.name.endswith("_undone_whole")} == set(SPOILT)


@pytest.mark.parametrize(("constraint", "model"), named(CHECKS))
def test_the_database_refuses_a_spoilt_row(plenty, constraint, model):
    """Whatever writes it, and whatever it thinks of the rules."""
    rows = model._base_manager.all()
    assert rows.exists(), f"spin_plenty makes no {model.__name__}"

    without_guards(model)
    with pytest.raises(IntegrityError, match=constraint.name), transaction.atomic():
        rows.update(**spoiling(constraint.name))


HALVES = {
    "bed_laid_out_whole": {"left_m": 1, "front_m": None, "long_m": 2},
    "line_unit_whole": {"unit": "weight", "stems": None, "grams": None},
    "lot_bundles_make_stems": {"bundles": None, "per_bundle": 5},
    "lot_weighed_whole": {"fresh_g": 100, "sample_stems": 5, "sample_g": None}, "planting_bed_has_area": {"area_m2": None},
    "purchase_line_stretch_whole": {"covers_from": LATER, "covers_to": None},
}


@pytest.mark.parametrize(("constraint", "model"), named([one for one in CHECKS if one[0].name in HALVES]))
def test_the_database_refuses_half_of_a_pair(plenty, constraint, model):
    """A comparison with nothing is no answer, and would let the row in."""
    with pytest.raises(IntegrityError, match=constraint.name), transaction.atomic():
        model._base_manager.update(**HALVES[constraint.name])


@pytest.mark.parametrize(("constraint", "model"), named(ONCES))
def test_the_database_refuses_the_same_row_twice(plenty, constraint, model):
    """What can be only once is there only once."""
    row = model._base_manager.filter(constraint.condition or models.Q()).first()
    assert row is not None, f"spin_plenty makes no {model.__name__}"
    row.pk, row._state.adding = 0 if model._meta.pk.is_relation else None, True
    for field in model._meta.fields:
        if field.unique and field.is_relation and not field.primary_key:
            setattr(row, field.attname, None if field.null else 0)

    with pytest.raises(IntegrityError) as refused, transaction.atomic():
        model._base_manager.bulk_create([row])

    assert constraint.name in str(refused.value) if connection.vendor == "postgresql" else "UNIQUE" in str(refused.value)
