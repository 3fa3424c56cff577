"""Who may open which page, and that no page shows a role money it is not to see."""

import pytest
from django.test import Client
from django.urls import URLPattern, get_resolver, reverse

from ledger.facts.actions import add_person
from ledger.facts.models import ROLE_MAY, User
from ledger.reckoning.currency import format_minor
from tests.conftest import PASSWORD
from tests.plenty import AMOUNTS

pytestmark = pytest.mark.django_db
DOORS = {":sign_in", ":set_up", ":come_in", ":sign_out"}
PAPERS = ("label", "_paper", "dispatch_note", "picking_list", "quote", "job_list")
OPEN_TO: dict[str, dict[str, str]] = {
    "owner bookkeeper": {
        "books": (
            "bed_plan bed_plan_paper fresh_or_dry fresh_or_dry_paper "
            "bring_in close closes earnings earnings_paper job_margin job_margin_paper least_stems margin_sales margins "
            "margins_paper market_days market_days_paper proof reopen set_least_stems undo_least_stems valuation valuation_paper "
            "workshop_margin workshop_margin_paper"
        ),
        "costing": (
            "figure how_far kinds move_kind node node_paper overheads plan_overheads undo_move_of_kind undo_overheads worth"
        ),
        "daybook": (
            "add_worker pay pays purchase purchases record_pay record_purchase set_worker_rate set_year_of_space "
            "undo_pay undo_purchase undo_worker_rate undo_year_of_space years_of_space"
        ),
        "growing": "undo_cut_value value_ways",
        "pricing": "cost_sheet cost_sheet_paper warnings what_if what_if_paper",
        "sales": "record_card_payout undo_card_payout",
        "stock": "buy_in undo_buying_in",
    },
    "owner hand seller bookkeeper": {
        "": "change_password here today waiting",
        "costing": "purchase_line losses losses_paper dries_better dries_better_paper season season_paper",
        "drying": "damp_limits due_down hanging hangings loss_norms oddments place places readings taking_down takings_down",
        "growing": (
            "bed beds gone_over lot lots partings planting plantings plot plots species species_list varieties variety "
            "water_limits"
        ),
        "sales": (
            "customer customers dispatch dispatches hire_item hire_items job jobs order orders out standing_order "
            "standing_orders workshop workshops"
        ),
        "stock": (
            "ages batch batches box boxes count counts hold holds keeps_for label labels line lines movement movements "
            "recipe recipes run runs label find_box take take_paper takes shelves colours"
        ),
    },
    "owner hand bookkeeper": {
        "daybook": (
            "add_material clocks count_material drop_clock material materials note_week note_work rename_material start_clock "
            "stop_clock undo_material_count undo_material_use undo_work use_material work_entries work_entry worker workers"
        ),
    },
    "owner hand": {
        "drying": (
            "add_place hang mark_disaster rename_place set_loss_norm take_down undo_disaster undo_hanging "
            "undo_loss_norm undo_taking_down note_reading set_damp_limit take_down_round undo_damp_limit undo_reading "
            "keep_oddments mark_trial move_hanging undo_oddments"
        ),
        "growing": (
            "add_bed add_plot add_species add_variety change_species change_variety clear cut cut_round "
            "draw_stems expect plant rename_bed rename_plot throw_out undo_clearing undo_expectation undo_lot "
            "undo_parting undo_planting note_gone_over undo_gone_over begin came_in_dry clear_part cut_over divide "
            "dump_seedlings estimate_life plant_out set_water_limit "
            "undo_cut_over undo_division undo_life undo_part_cleared undo_planted_out "
            "undo_seedlings_dumped undo_water_limit lay_out_beds"
        ),
        "stock": (
            "add_line bring_down_bunches change_box count_box draw hold_back let_go make_run make_up move new_box rework "
            "set_recipe set_keeps_for undo_count undo_hold_back undo_keeps_for undo_let_go undo_movement undo_recipe undo_run "
            "begin_take count_in_take count_sheet end_take undo_counted undo_end_take undo_take write_off "
            "split_box put_together empty_box undo_repacking take_back set_shelf_room undo_shelf_room"
        ),
    },
    "owner": {
        "facts": (
            "add_person change_holding change_person people set_tax_rate set_tax_status undo_tax_rate "
            "undo_tax_status"
        ),
    },
    "owner seller bookkeeper": {
        "facts": "holding tax_rates tax_statuses",
        "pricing": "line offer offers price_list price_list_paper prices way ways",
        "sales": (
            "availability availability_csv availability_paper availability_text "
            "credit give_money_back invoice invoice_job invoice_order invoice_paper invoices own_list_paper pay payments "
            "sale sales stall_day stall_days use_deposit card_payout card_payouts undo_payment loading_list_paper changed_prices "
            "drawn drawn_csv drawn_paper order_terms quote"
        ),
    },
    "owner seller": {
        "pricing": (
            "add_offer add_way change_way end_offer end_price set_price set_prices set_terms undo_offer undo_offer_end "
            "undo_price undo_terms"
        ),
        "sales": (
            "add_customer blank_customer cancel change_customer end_own_price open_stall_day promise_more sell "
            "set_own_price take_order undo_order undo_own_price undo_promise undo_sale undo_stall_day "
            "bring_back load_boxes sell_as_seconds undo_bring_back undo_load "
            "count_tin undo_tin agree_standing_order end_standing_order leave_out take_standing_order undo_leaving_out "
            "undo_standing_end undo_standing_order ask_more change_order come_later fill lacking stand_in undo_asked_change "
            "undo_later undo_order_change set_order_terms set_pack_rule undo_order_terms undo_pack_rule "
            "cancel_order "
            "new_job change_job agree_job do_job cancel_job add_piece change_piece drop_piece keep_for_job keep_all_for_job "
            "free_from_job take_deposit give_back_deposit undo_job undo_job_change undo_agreement undo_job_done undo_cancelling "
            "undo_kept undo_deposit "
            "call_off change_hire_item count_hire_item give_places_back hold_workshop new_hire_item new_workshop plan_hire "
            "sell_places undo_calling_off undo_hire_item_count undo_places_given_back undo_places_sold undo_plan_hire "
            "undo_workshop undo_workshop_held"
        ),
        "stock": "fill_again hold_more keep release",
    },
    "owner hand seller": {
        "sales": (
            "dispatch_note hand_over job_list pack picking_list report send substitute undo_dispatch undo_hand_over undo_report "
            "unpack back_for_job back_for_workshop back_from_job hire_back send_out take_for_job take_for_workshop "
            "take_stems_for_job take_stems_for_workshop undo_came_back undo_hire_back undo_hire_out undo_taken"
        ),
    },
}
NO_COSTS = ("rate", "pay", "bill", "space", "plan", "scrap", "worth")
HIDDEN = {"hand": tuple(AMOUNTS), "seller": NO_COSTS, "bookkeeper": (), "owner": ()}


def who_may_open() -> dict[str, set[str]]:
    """The table the other way round: page -> roles."""
    return {
        f"{stage}:{name}": set(roles.split())
        for roles, stages in OPEN_TO.items() for stage, names in stages.items() for name in names.split()
    }


def pages(patterns=None, stage: str = ""):
    """Every page's name and what its address wants."""
    for pattern in get_resolver().url_patterns if patterns is None else patterns:
        if isinstance(pattern, URLPattern):
            yield f"{stage}:{pattern.name}", str(pattern.pattern)
        else:
            yield from pages(pattern.url_patterns, pattern.app_name)


def addresses(name: str, pattern: str) -> list[str]:
    """The addresses a page may have, until one is found that is there."""
    known = name.removeprefix(":")
    if "<str:kind>" in pattern:
        return [reverse(known, args=["planting", number]) for number in range(1, 60)]
    return [reverse(known, args=[pk]) for pk in range(1, 60)] if "<int" in pattern else [reverse(known)]


def answered(client: Client, urls: list[str]) -> tuple[str, int, str]:
    """The first of the addresses that is there: address, status, words."""
    for url in urls:
        answer = client.get(url)
        if answer.status_code != 404:
            return url, answer.status_code, answer.content.decode() if answer.headers["Content-Type"].startswith("text") else ""
    return "", 404, ""


@pytest.fixture(scope="module")
def found(plenty, django_db_blocker) -> dict[str, str]:
    """For each page an address that is there."""
    with django_db_blocker.unblock():
        client = Client()
        client.force_login(User.objects.get(role="owner"), backend="django.contrib.auth.backends.ModelBackend")
        named = [(name, pattern) for name, pattern in pages() if name not in DOORS and not name.endswith(PAPERS)]
        return {name: answered(client, addresses(name, pattern))[0] for name, pattern in named}


def test_the_table_names_every_page():
    """Whoever adds a page says who may open it."""
    assert {name for name, _pattern in pages()} - DOORS == set(who_may_open())


@pytest.mark.parametrize("role", sorted(ROLE_MAY))
def test_each_role_opens_what_the_table_says_and_sees_no_money_it_is_not_to(plenty, found, signed_in, role):
    """Refused pages say so; what opens shows a hand no money and a seller no costs."""
    by = User.objects.get(role="owner")
    client = signed_in(by if role == "owner" else add_person(by=by, username=f"a_{role}", password=PASSWORD, role=role))
    secret = {format_minor(AMOUNTS[name], 2) for name in HIDDEN[role]}
    wrong, table = {}, who_may_open()
    for name, url in found.items():
        _url, status, words = answered(client, [url])
        shown = sorted(one for one in secret if one in words)
        if (status in {200, 302}) != (role in table.get(name, set())) or shown:
            wrong[name] = (status, shown)

    assert all(found.values()) and wrong == {}


def test_the_money_looked_for_is_there_to_be_seen(plenty, found, signed_in):
    """Each figure hidden from others stands on some page of the owner's: a search for nothing finds nothing."""
    client = signed_in(User.objects.get(role="owner"))
    words = "".join(answered(client, [url])[2] for url in found.values())

    assert [name for name, amount in AMOUNTS.items() if format_minor(amount, 2) not in words] == []


@pytest.mark.parametrize("role", sorted(ROLE_MAY))
def test_papers_are_refused_as_their_pages_are(plenty, signed_in, role):
    """Nobody prints what he may not open."""
    by, table = User.objects.get(role="owner"), who_may_open()
    client = signed_in(by if role == "owner" else add_person(by=by, username=f"a_{role}", password=PASSWORD, role=role))
    shut = [(name, pattern) for name, pattern in pages() if name.endswith(PAPERS) and role not in table[name]]

    assert [name for name, pattern in shut if answered(client, addresses(name, pattern))[1] != 403] == []
