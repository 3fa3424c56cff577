"""The kinds of record that can be brought in, in the order of the path.

One CSV a kind of record, in UTF-8, comma between cells, the columns' names in
the first line, in any order. A `key` is a short name of the row's own that
other files use for it. Days are written 2025-07-31, amounts of money as
decimals with a dot in the holding's currency, percentages as 7.5, yes or no.
In `spent_on` stand things as `planting:KEY`, several parted by semicolons,
each with `*WEIGHT` where they do not share equally, or `store`, `holding`.
A column in brackets may be empty or missing.

    holding         name, (address), currency, time_zone, year_end_month, year_end_day, season_first_month,
                    (owner)
    people          username, role
    tax_statuses    on, status, (number), (addition_per_cent)
    tax_rates       on, rate_per_cent
    workers         key, name, paid
    worker_rates    worker, on, per_hour
    materials       key, name, unit, (by_count)
    plots           key, name, kind, area_m2, (wide_m)
    beds            key, plot, name, area_m2, (left_m), (front_m), (long_m), (across)
    species         key, name, (botanical), (caution), (stems_per_m2), (days_to_dry),
                    (fresh_water_per_cent), (dry_water_per_cent)
    varieties       key, species, name, (colour)
    places          key, name, unit, room
    ways            key, name, with_tax, trade, (kind)
    customers       key, name, (trade), (contact), (email), (address), (tax_number), (days_to_pay)
    lines           key, (variety), (name), (colour), grade, finish, unit, (stems), (grams)
    boxes           key, (shelf), (note)
    clearings       planting, on, (why), (failed)
    part_clearings  planting, on, bed, area_m2, (why)
    plantings       key, on, variety, (bed), (area_m2), season, (perennial), (productive_seasons),
                    (expected_stems), (planned_cost), (origin), (plants), (divided_from), (parts), (of_parts)
    planted_out     planting, on, bed, area_m2, (plants), (expected_stems)
    seedlings_dumped  planting, on, plants, (why)
    expectations    planting, on, season, stems, (planned_cost)
    cuttings_over   planting, on, (note)
    lives           planting, on, productive_seasons, (why)
    lots            key, planting, on, stage, (stems), (bundles), (per_bundle), (about), (fresh_g),
                    (sample_stems), (sample_g), (dry)
    cut_values      lot, on, way, per_hundred
    water_limits    on, days
    gone_over       planting, on, stems, (why)
    partings        lot, on, way, stems, (why)
    takings         hanging, on, stems, (mould), (shattered), (blown), (faded), (crushed), (insects),
                    (dropped), (other), (dried_g)
    hangings        key, (lot), on, place, stems, (room), (bundles), (bunch_stems), (trial), (moved_from)
    oddments        key, hanging, on, stems, value
    loss_norms      variety, on, share_per_cent
    disasters       hanging, on, why, (norm_per_cent)
    readings        place, on, (at), (temperature_c), (humidity_percent)
    damp_limits     on, humidity_percent
    recipes         key, line, on, (note)
    recipe_parts    recipe, (of_line), (variety), (material), quantity
    runs            key, on, (kind), (lost), (note), (supplier), (reference), (net), (tax), (cost_kind)
    run_inputs      run, (hanging), (dry_lot), (fresh_lot), (oddments), stems
    run_bunches     run, batch, (box), bunches
    run_materials   run, material, quantity
    run_outputs     key, run, line, made, (stems), (unit_value), (box)
    moves           on, batch, bunches, (from_box), (to_box)
    splits          key, on, box, (to_box), (shelf)
    split_rows      split, batch, bunches
    boxes_together  on, box, to_box
    boxes_emptied   on, box
    held_backs      key, box, on, until, why
    keeps_for       on, days, (species)
    shelf_rooms     on, shelf, bunches
    lets_go         held_back, on
    overheads       on, year, overheads, usual_idle_and_luck, usual_base, (storage), (source)
    terms           way, on, (fee_per_cent), (card_share_per_cent), (pitch_per_cent), (bad_debt_per_cent), (days_to_wait),
                    (interest_per_cent), (fixed_day), (day_minutes), (hour_cost), (usual_takings), (fixed_parcel), (carriage),
                    (usual_parcel), margin_per_cent, (ending), (ending_every)
    prices          way, line, on, (at_least), (price)
    offers          key, way, on, name, quantity, price, (until)
    offer_lines     offer, line
    offer_ends      offer, on
    own_prices      customer, way, line, on, (at_least), (price)
    stall_days      key, on, name, way
    sales           key, on, way, (stall_day), (customer), (note), (paid), (beyond_record)
    sale_lines      sale, (line), (lot), quantity, (price), (box), (stems_each), (why)
    stall_loads     stall_day, box
    seconds_sold    key, on, way, (stall_day), line, bunches, (price), (paid), (note)
    stall_backs     key, on, stall_day, (why), (place)
    stall_back_boxes  back, box, batch, came_back, (thrown), (shelf)
    stall_back_stems  back, lot, (hung), (room), (thrown)
    tins            stall_day, when, amount, (note)
    card_payouts    on, way, first_day, last_day, gross, (fee)
    order_terms     way, on, (least), (carriage), (free_from)
    pack_rules      way, on, (line), (least), (multiple)
    standing_orders key, on, customer, way, first_on, every, unit, (reference)
    standing_lines  standing_order, line, asked, (price)
    standing_ends   standing_order, on
    standing_left_out  standing_order, on, wanted_on
    orders          key, on, customer, way, (wanted_on), (reference), (standing_order), (carriage),
                    (all_the_same), (sale_or_return)
    order_lines     key, order, line, asked, (promised), (price), (season)
    order_changes   order, on, (wanted_on), (reference), (carriage)
    asked_more      order_line, on, bunches
    stand_ins       key, order_line, on, line, bunches, (price)
    come_later      order_line, on, bunches, (hoped_for)
    promises        order_line, on, bunches
    cancellations   (order_line), on, bunches, (stand_in)
    packings        (order_line), on, batch, (box), bunches, (stand_in)
    dispatches      order, on, (carriage)
    handed_over     order, on
    reports         key, order, on, (box)
    report_lines    report, order_line, batch, (sold), (back)
    hire_items      key, name, charge, breakage, (owned), (on), (note)
    hire_item_counts  item, on, (more), (fewer), (why)
    jobs            key, on, name, kind, customer, way, held_on, (good_until), (note)
    job_changes     job, on, held_on, (good_until), (note)
    job_pieces      key, job, on, name, quantity, price, (minutes), (note)
    piece_parts     piece, (line), (variety), (material), (bought), (cost), quantity
    piece_changes   key, piece, on, (quantity), (price), (minutes)
    job_hires       key, job, on, item, quantity, first_day, last_day, (price), (breakage)
    jobs_agreed     job, on
    deposits        job, on, amount, (how)
    deposits_back   job, on, amount, (how)
    job_keeps       job, on, line, bunches, (season)
    job_keeps_freed job, on, line, bunches
    workshops       key, on, name, way, held_on, places, price, (note)
    places_sold     key, workshop, on, places, (price), (customer), (who), (paid)
    places_given_back  sold, on, places, returned
    taken_for_work  key, (job), (workshop), on, (line), (lot), (batch), quantity, (box)
    back_from_work  taken, on, quantity, (box)
    hires_out       hire, on, quantity
    hires_back      hire, on, whole, (broken), (charge), (note)
    jobs_done       job, on
    jobs_cancelled  job, on, (kept), (taxed), (why)
    workshops_held  workshop, on
    workshops_called_off  workshop, on, (why)
    draws           on, batch, (box), bunches, reason
    write_offs      on, batch, (box), bunches, reason
    counts          key, on, box, (note)
    count_lines     count, batch, counted
    takes           key, on, (shelf), (line), (shown), (note)
    take_counts     take, on, batch, (box), counted
    take_ends       (key), take, on, (why)
    take_reasons    take_end, batch, (box), why
    invoices        key, (order), (job), on
    credits         key, invoice, on, why, (carriage)
    credit_lines    credit, order_line, quantity
    payments        invoice, on, amount, (how)
    payments_back   invoice, on, amount, (how)
    pay             worker, on, first_day, last_day, amount
    work            worker, on, minutes, task, spent_on, (note)
    purchases       key, on, supplier, (reference)
    purchase_lines  purchase, description, kind, net, (tax), spent_on, (covers_from), (covers_to), (quantity)
    material_uses   material, on, quantity, spent_on, (note)
    material_counts material, on, counted, (note)
    years_of_space  space, on, year, expected_cost, (normal_use), (normal_source)
    least_stems     on, stems
    year_closes     on
"""

from ..rows import Kind
from . import books, daybook, drying, growing, holding, jobs, money, orders, pricing, retail, runs, stock

PATH: tuple[Kind, ...] = (
    *holding.KINDS,
    *daybook.PEOPLE,
    *daybook.MATERIALS,
    *growing.GROUND,
    *drying.PLACES,
    *pricing.WAYS,
    *orders.CUSTOMERS,
    *jobs.HIRE_ITEMS,
    *stock.SHELVES,
    *growing.SEASON,
    *drying.LOFT,
    *runs.KINDS,
    *stock.MOVING,
    *pricing.TERMS,
    *orders.OWN_PRICES,
    *retail.KINDS,
    *orders.TERMS,
    *orders.STANDING,
    *orders.KINDS,
    *jobs.KINDS,
    *stock.LATER,
    *money.KINDS,
    *daybook.KINDS,
    *books.KINDS,
)
KINDS: dict[str, Kind] = {kind.file: kind for kind in PATH}
