"""A small ledger with at least one of every record a page can be about, some of them free to be undone."""

from dataclasses import dataclass, field
from datetime import date
from typing import Any

from grower.links import make_link
from ledger.books import actions as books
from ledger.costing import actions as costing
from ledger.daybook import actions as daybook
from ledger.drying import actions as drying
from ledger.facts import actions as facts
from ledger.facts.models import CostKind, User
from ledger.growing import actions as growing
from ledger.pricing import actions as pricing
from ledger.sales import actions as sales
from ledger.sales.models import Customer, StallDay
from ledger.stock import actions as stock
from tests.plenty_jobs import add_jobs
from tests.plenty_workshops import add_workshops
from tests.thread import Thread, spin_thread

NEXT_YEAR = date(2025, 6, 1)
AMOUNTS = {
    "rate": 61713, "pay": 617131, "bill": 6171313, "price": 61717, "space": 617177, "plan": 6171779, "paid": 61733,
    "scrap": 617191, "worth": 617203, "offer": 123401, "step": 61701, "own": 61703,
    "piece": 617237, "deposit": 617251, "kept": 61751, "vase": 61757,
    "place": 61781, "hire": 61783, "broken": 61789,
    "carriage": 617231, "float": 617209, "payout": 617219, "fee": 61723,
}


@dataclass
class Plenty:
    """The thread, and whatever else was made, by a name of its own."""

    thread: Thread
    made: dict[str, Any] = field(default_factory=dict)


def spin_plenty(by: User, *, close: date = date(2024, 12, 31)) -> Plenty:
    """The thread of one season with everything that can stand beside it; its year is closed, the next is open."""
    plenty = Plenty(spin_thread(by, cleared=False))
    _settle(by, plenty)
    books.close_year(by=by, on=close)
    _grow(by, plenty)
    _tend(by, plenty)
    _spend(by, plenty)
    _use_up(by, plenty)
    _keep(by, plenty)
    _trade(by, plenty)
    _make_up(by, plenty)
    _come_round(by, plenty)
    _consign(by, plenty)
    _take_stock(by, plenty)
    _lack(by, plenty)
    add_jobs(by, plenty, AMOUNTS)
    add_workshops(by, plenty, AMOUNTS)
    make_link("sign_in", hours=1, user=by)
    return plenty


def _settle(by: User, plenty: Plenty) -> None:
    """Tax, prices and a second line, before the year is closed."""
    made = plenty.made
    made["way"] = pricing.add_way(by=by, name="Florists", with_tax=False, trade=True)
    made["stall"] = pricing.add_way(by=by, name="Market", with_tax=True)
    for way in (made["way"], made["stall"]):
        pricing.set_price(by=by, way=way, line=plenty.thread.line, on=date(2024, 8, 1), amount=AMOUNTS["price"])


def _grow(by: User, plenty: Plenty) -> None:
    """Next year's planting, cut, hung and half taken down."""
    made, old = plenty.made, plenty.thread.planting
    bed = growing.add_bed(by=by, plot=old.bed.plot, name="0", area_m2=20)
    made["planting"] = growing.plant(by=by, on=date(2025, 4, 1), variety=old.variety, bed=bed, area_m2=10, season=2025)
    gone = growing.plant(by=by, on=date(2025, 4, 1), variety=old.variety, bed=bed, area_m2=5, season=2025)
    growing.clear(by=by, planting=gone, on=date(2025, 5, 1))
    growing.plant(by=by, on=date(2025, 4, 1), variety=old.variety, bed=bed, area_m2=2, season=2025)
    growing.expect(by=by, planting=made["planting"], on=date(2025, 5, 1), season=2025, stems=300, planned_cost=AMOUNTS["plan"])
    lot = made["lot"] = growing.cut(by=by, planting=made["planting"], on=NEXT_YEAR, stage="full", stems=500)
    growing.cut(by=by, planting=made["planting"], on=NEXT_YEAR, stage="full", stems=100)
    growing.note_gone_over(by=by, planting=made["planting"], on=NEXT_YEAR, stems=40, why="rain")
    growing.throw_out(by=by, lot=lot, on=NEXT_YEAR, stems=10)
    place = plenty.thread.hanging.place
    hanging = drying.hang(by=by, lot=lot, on=NEXT_YEAR, place=place, stems=300, room=5)
    drying.hang(by=by, lot=lot, on=NEXT_YEAR, place=place, stems=50, room=5)
    drying.take_down(by=by, hanging=hanging, on=date(2025, 6, 20), stems=100)
    drying.take_down(by=by, hanging=hanging, on=date(2025, 6, 21), stems=50, losses={"mould": 10})
    drying.mark_disaster(by=by, hanging=hanging, on=date(2025, 6, 22), why="damp", norm_bp=500)
    drying.set_loss_norm(by=by, variety=old.variety, on=NEXT_YEAR, share_bp=700)
    drying.hang(by=by, lot=lot, on=NEXT_YEAR, place=place, stems=40, room=1, bunch_stems=10, trial=True)
    shed = drying.add_place(by=by, name="Shed", unit="racks", room=30)
    drying.move_hanging(by=by, hanging=hanging, on=date(2025, 6, 15), place=shed, stems=20, room=2)
    made["oddments"] = drying.keep_oddments(by=by, hanging=hanging, on=date(2025, 6, 22), stems=4, value=AMOUNTS["scrap"])
    drying.keep_oddments(by=by, hanging=hanging, on=date(2025, 6, 22), stems=2, value=AMOUNTS["scrap"])
    drying.note_reading(by=by, place=place, on=NEXT_YEAR, humidity_percent=71, temperature_tenths_c=185)
    drying.set_damp_limit(by=by, on=NEXT_YEAR, humidity_percent=70)
    made["hanging"] = hanging


def _tend(by: User, plenty: Plenty) -> None:
    """Trays planted out, seedlings dumped, half a bed cleared; a perennial cut over, divided, given another life; values."""
    old, may = plenty.thread.planting, date(2025, 5, 1)
    bed = growing.add_bed(by=by, plot=old.bed.plot, name="T", area_m2=30)
    trays = growing.plant(by=by, on=date(2025, 3, 1), variety=old.variety, season=2025, origin="trays", plants=200)
    growing.plant_out(by=by, planting=trays, on=may, bed=bed, area_m2=6, plants=90)
    growing.plant_out(by=by, planting=trays, on=may, bed=bed, area_m2=4, plants=60)
    growing.dump_seedlings(by=by, planting=trays, on=may, plants=20, why="spare")
    growing.clear_part(by=by, planting=trays, on=NEXT_YEAR, bed=bed, area_m2=2, why="eaten")
    growing.plant(by=by, on=may, variety=old.variety, season=2025, origin="gathered")
    perennial = growing.plant(
        by=by, on=date(2025, 3, 1), variety=old.variety, bed=bed, area_m2=5, season=2025, perennial=True, productive_seasons=4
    )
    growing.cut_over(by=by, planting=perennial, on=may, note="to the ground")
    growing.estimate_life(by=by, planting=perennial, on=may, productive_seasons=6)
    growing.divide(by=by, planting=perennial, on=may, bed=bed, area_m2=1, parts=1, of_parts=3, productive_seasons=4)
    lot = growing.cut(
        by=by, planting=perennial, on=NEXT_YEAR, stage="full", fresh_g=2000, sample_stems=10, sample_g=100, dry=True
    )
    plenty.made["dry"] = lot.partings.get()
    growing.value_ways(by=by, lot=plenty.thread.lot, on=NEXT_YEAR, values={"hung": AMOUNTS["worth"]})
    growing.set_water_limit(by=by, on=NEXT_YEAR, days=3)


def _spend(by: User, plenty: Plenty) -> None:
    """Hours, wages, a bill, a year of space, overheads, tax."""
    worker, planting = plenty.thread.worker, plenty.made["planting"]
    daybook.set_worker_rate(by=by, worker=worker, on=NEXT_YEAR, per_hour=AMOUNTS["rate"])
    daybook.note_work(by=by, worker=worker, on=NEXT_YEAR, minutes=30, task="cutting", spent_on=[(planting.cost_object, 1)])
    first, last = NEXT_YEAR, date(2025, 6, 7)
    daybook.record_pay(by=by, worker=worker, on=last, first_day=first, last_day=last, amount=AMOUNTS["pay"])
    seed = daybook.BoughtLine("seed", CostKind.objects.get(code="plants"), AMOUNTS["bill"], 0, [(planting.cost_object, 1)])
    daybook.record_purchase(by=by, on=NEXT_YEAR, supplier="Seed house", lines=[seed])
    plot = plenty.thread.planting.bed.plot
    daybook.set_year_of_space(by=by, space=plot.cost_object, on=NEXT_YEAR, year=2025, expected_cost=AMOUNTS["space"])
    costing.plan_overheads(by=by, on=NEXT_YEAR, year=2025, overheads=1000, usual_idle_and_luck=0, usual_base=AMOUNTS["plan"])
    power = CostKind.objects.get(code="power")
    costing.move_kind(by=by, kind=power, on=NEXT_YEAR, in_stock=False, in_shelf=True, why="the accountant's wish")
    facts.set_tax_status(by=by, on=NEXT_YEAR, status="registered", number="INVENTED 1")
    facts.set_tax_rate(by=by, on=NEXT_YEAR, rate_bp=2000)


def _use_up(by: User, plenty: Plenty) -> None:
    """A material bought, used and counted; a clock that runs."""
    planting = plenty.made["planting"]
    twine = plenty.made["twine"] = daybook.add_material(by=by, name="Twine", unit="cm")
    daybook.add_material(by=by, name="Rubber bands", unit="pieces", by_count=True)
    packing = CostKind.objects.get(code="packing")
    bought = daybook.BoughtLine("twine", packing, AMOUNTS["bill"], 0, [(twine.cost_object, 1)], quantity=5000)
    daybook.record_purchase(by=by, on=NEXT_YEAR, supplier="Rope walk", lines=[bought])
    daybook.use_material(by=by, material=twine, on=NEXT_YEAR, quantity=300, spent_on=planting.cost_object)
    daybook.count_material(by=by, material=twine, on=date(2025, 6, 2), counted=4600)
    other = daybook.add_worker(by=by, name="Sorrel", paid=False)
    daybook.set_worker_rate(by=by, worker=other, on=NEXT_YEAR, per_hour=AMOUNTS["rate"])
    daybook.start_clock(by=by, worker=other, task="growing", spent_on=[planting.cost_object])


def _keep(by: User, plenty: Plenty) -> None:
    """A second run, moves, a draw, a count, promises and what was left short."""
    made, line, batch, box = plenty.made, plenty.thread.line, plenty.thread.batch, plenty.thread.box
    on = date(2025, 7, 1)
    output = stock.Output(line=line, made=4)
    stock.make_run(by=by, on=on, inputs=[(made["hanging"], 40)], outputs=[output])
    other = stock.new_box(by=by, shelf="B1")
    stock.move(by=by, on=on, batch=batch, bunches=3, source=box, target=other)
    stock.draw(by=by, on=on, batch=batch, box=box, bunches=1, reason="sample")
    stock.count_box(by=by, on=on, box=other, counted={batch: 4})
    made["hold"] = stock.hold(by=by, on=on, line=line, bunches=2, for_what="a friend")
    made["short"] = stock.hold(by=by, on=on, line=line, bunches=29, for_what="all the rest")
    stock.write_off(by=by, on=on, batch=batch, box=box, bunches=3, reason="mice")
    stock.release(by=by, hold=made["short"], on=on, bunches=20)


def _trade(by: User, plenty: Plenty) -> None:
    """Prices and terms, a stall day with its sale, an order half sent and invoiced, a payment."""
    made, line, batch, box = plenty.made, plenty.thread.line, plenty.thread.batch, plenty.thread.box
    on, way = date(2025, 7, 5), made["way"]
    pricing.set_price(by=by, way=way, line=line, on=on, amount=AMOUNTS["price"])
    pricing.set_terms(by=by, way=way, on=on, margin_bp=3000)
    customer = sales.add_customer(by=by, name="Quill and Petal")
    sales.add_customer(by=by, name="Bract and Stem")
    _offer(by, plenty, customer)
    _hold_stall(by, plenty, sales.open_stall_day(by=by, on=on, name="Saturday", way=made["stall"]))
    sales.sell(by=by, on=on, way=made["stall"], lines=[sales.Sold(2, line=line)])
    order = sales.take_order(by=by, on=on, customer=customer, way=way, lines=[sales.Asked(line, 8, 5)], carriage=AMOUNTS["price"])
    sales.take_order(by=by, on=on, customer=customer, way=way, lines=[sales.Asked(line, 1)])
    of_order = order.lines.get()
    change = sales.promise_more(by=by, order_line=of_order, on=on, bunches=1)
    made["promise"] = change
    sales.pack(by=by, order_line=of_order, on=on, batch=batch, box=box, bunches=1)
    sales.send(by=by, order=order, on=on)
    invoice = sales.invoice(by=by, order=order, on=on)
    sales.pay(by=by, invoice=invoice, on=on, amount=AMOUNTS["paid"])
    sales.pack(by=by, order_line=of_order, on=on, batch=batch, box=box, bunches=1)
    sales.send(by=by, order=order, on=on)
    sales.pack(by=by, order_line=of_order, on=on, batch=batch, box=box, bunches=1)
    made["order"], made["invoice"] = order, invoice


def _hold_stall(by: User, plenty: Plenty, day: StallDay) -> None:
    """A stall day's tin, a card payout with a fee; another day with a box loaded; one put away after; one still bare."""
    sales.count_tin(by=by, stall_day=day, when="before", amount=AMOUNTS["float"])
    sales.record_card_payout(
        by=by, on=day.on, way=day.way, first_day=day.on, last_day=day.on, gross=AMOUNTS["payout"], fee=AMOUNTS["fee"]
    )
    fair = sales.open_stall_day(by=by, on=date(2025, 7, 6), name="Fair", way=day.way)
    box, batch = plenty.thread.box, plenty.thread.batch
    sales.load_boxes(by=by, stall_day=fair, boxes=[box])
    counted = [sales.BackBunches(batch, box.contents.get(batch=batch).bunches)]
    stems = [sales.BackStems(plenty.made["lot"], thrown=1)]
    boxes = [sales.BackBox(box, counted)]
    sales.bring_back(by=by, on=fair.on, stall_day=fair, boxes=boxes, stems=stems, why="wilted")
    sunday = sales.open_stall_day(by=by, on=day.on, name="Sunday", way=day.way)
    sales.load_boxes(by=by, stall_day=sunday, boxes=[batch.contents.exclude(box=None).exclude(box=box).get().box])
    sales.open_stall_day(by=by, on=day.on, name="Harbour", way=day.way)


def _take_stock(by: User, plenty: Plenty) -> None:
    """A box split; a stock-take put into the book, what is not boxed too, and one begun with a batch counted in both places."""
    line, batch, box, on = plenty.thread.line, plenty.thread.batch, plenty.thread.box, date(2025, 7, 9)
    loose = line.batches.standing().order_by("pk").last()
    stock.split_box(by=by, on=on, box=box, bunches={batch: 1}, shelf="D1")
    ended, begun = stock.begin_take(by=by, on=on, line=line), stock.begin_take(by=by, on=on)
    for take in (ended, begun):
        stock.count_in_take(by=by, on=on, take=take, box=None, counted={loose: 2})
        stock.count_in_take(by=by, on=on, take=take, box=box, counted={batch: 12})
        if take == ended:
            stock.end_take(by=by, on=on, take=take, reasons={row.pk: "mice" for row in take.counted.standing()})


def _come_round(by: User, plenty: Plenty) -> None:
    """A standing order not begun yet; another with an order taken, a day left out and its end."""
    on, customer = date(2025, 7, 5), Customer.objects.named().filter(trade=True).order_by("pk")[0]
    of = {"by": by, "on": on, "customer": customer, "way": plenty.made["way"]}
    each = [sales.EachTime(plenty.thread.line, 1, AMOUNTS["price"])]
    sales.agree_standing_order(**of, first_on=date(2036, 1, 1), lines=each, unit="months")
    weekly = sales.agree_standing_order(**of, first_on=on, lines=each)
    sales.take_standing_order(by=by, standing_order=weekly, on=on, wanted_on=on)
    sales.leave_out(by=by, standing_order=weekly, on=on, wanted_on=date(2025, 7, 12))
    sales.end_standing_order(by=by, standing_order=weekly, on=date(2025, 7, 20))


def _consign(by: User, plenty: Plenty) -> None:
    """Goods out on sale or return: one parcel reported on and gone on from, one untouched, one packed and still here."""
    on, line = date(2025, 7, 9), plenty.thread.line
    kind = CostKind.objects.get(code="plants")
    bought = stock.buy_in(
        by=by, on=on, supplier="Sorrel Farm", outputs=[stock.Output(line, 8)], net=AMOUNTS["bill"], tax=0, kind=kind
    )
    batch, customer = bought.batches.get(), Customer.objects.named().filter(trade=True).order_by("pk")[0]
    orders = []
    for bunches in (4, 1, 1):
        order = sales.take_order(
            by=by, on=on, customer=customer, way=plenty.made["way"], lines=[sales.Asked(line, bunches, price=AMOUNTS["price"])],
            sale_or_return=True,
        )
        sales.pack(by=by, order_line=order.lines.get(), on=on, batch=batch, box=None, bunches=bunches)
        orders.append(order)
    first, second, _here = orders
    out = sales.hand_over(by=by, order=first, on=on)
    sales.report(by=by, handed_over=out, on=on, said=[sales.SaidOf(first.lines.get(), batch, 1, 1)])
    sales.hand_over(by=by, order=second, on=on)


def _lack(by: User, plenty: Plenty) -> None:
    """Terms and a pack; an order whose carriage went with its parcel; one that lacks, is stood in for and comes later."""
    on, thread, way = date(2025, 7, 9), plenty.thread, plenty.made["way"]
    sales.set_order_terms(by=by, way=way, on=on, carriage=AMOUNTS["carriage"])
    sales.set_pack_rule(by=by, way=way, on=on, multiple=1)
    other = stock.add_line(
        by=by, variety=thread.line.variety, colour="copper", grade="seconds", finish="natural", unit="bunch", stems=10
    )
    box, kind = stock.new_box(by=by, shelf="B2"), CostKind.objects.get(code="plants")
    made = [stock.Output(other, 9, box=box)]
    bought = stock.buy_in(by=by, on=on, supplier="Sorrel Farm", outputs=made, net=AMOUNTS["bill"], tax=0, kind=kind)
    customer = Customer.objects.named().filter(trade=True).order_by("pk")[0]
    of = {"by": by, "on": on, "customer": customer, "way": way}
    sent = sales.take_order(**of, lines=[sales.Asked(other, 1, price=AMOUNTS["price"])])
    sales.pack(by=by, order_line=sent.lines.get(), on=on, batch=bought.batches.get(), box=box, bunches=1)
    sales.send(by=by, order=sent, on=on)
    short = sales.take_order(**of, lines=[sales.Asked(thread.line, 4, 0, AMOUNTS["price"])])
    lacks = short.lines.get()
    sales.stand_in(by=by, order_line=lacks, on=on, line=other, bunches=1)
    sales.ask_more(by=by, order_line=lacks, on=on, bunches=1)
    sales.come_later(by=by, order_line=lacks, on=on, bunches=1, hoped_for=date(2036, 1, 1))
    sales.change_order(by=by, order=short, on=on, reference="Q-7")
    sales.take_order(**of, lines=[sales.Asked(other, 3, 2, AMOUNTS["price"])])


def _offer(by: User, plenty: Plenty, customer: Customer) -> None:
    """An offer sold by, one not, one ended; a quantity step, own prices, and the fewest stems to judge by."""
    made, line, on = plenty.made, plenty.thread.line, NEXT_YEAR
    for name in ("Two together", "Two of a kind", "Two in May"):
        made[name] = pricing.add_offer(
            by=by, way=made["stall"], on=date(2025, 5, 1), name=name, quantity=2, amount=AMOUNTS["offer"], lines=[line]
        )
    pricing.end_offer(by=by, offer=made["Two in May"], on=on)
    pricing.set_price(by=by, way=made["way"], line=line, on=on, amount=AMOUNTS["step"], at_least=10)
    for at_least in (1, 10):
        sales.set_own_price(
            by=by, customer=customer, way=made["way"], line=line, on=on, amount=AMOUNTS["own"], at_least=at_least
        )
    books.set_least_stems(by=by, on=on, stems=50)


def _make_up(by: User, plenty: Plenty) -> None:
    """A bunch split, two wreaths by a recipe, bunches bought in, boxes held back and let go."""
    made, thread, on = plenty.made, plenty.thread, date(2025, 7, 8)
    line, batch, box, variety = thread.line, thread.batch, thread.box, thread.planting.variety
    fives = stock.add_line(by=by, variety=variety, colour="copper", stems=5)
    wreath = stock.add_line(by=by, name="Wreath", unit="piece")
    stock.set_recipe(by=by, on=on, line=wreath, parts=[(line, 1), (variety, 12), (made["twine"], 90)])
    stock.rework(by=by, on=on, bunches=[(batch, box, 1)], outputs=[stock.Output(fives, 1)], lost=5)
    stock.make_up(
        by=by, on=on, outputs=[stock.Output(wreath, 2)], bunches=[(batch, box, 1)],
        stems=[(made["dry"], 20), (made["oddments"], 4)], fresh=[(made["lot"], 6)], materials=[(made["twine"], 180)],
    )
    kind = CostKind.objects.get(code="plants")
    stock.buy_in(
        by=by, on=on, supplier="Sorrel Farm", outputs=[stock.Output(line, 3)], net=AMOUNTS["bill"], tax=0, kind=kind
    )
    for shelf in ("C1", "C2"):
        held_back = stock.hold_back(by=by, on=on, box=stock.new_box(by=by, shelf=shelf), until=date(2036, 1, 1), why="damp")
    stock.let_go(by=by, on=on, held_back=held_back)
    stock.set_keeps_for(by=by, on=on, days=300, species=variety.species)
    stock.set_shelf_room(by=by, on=on, shelf="C1", bunches=60)
