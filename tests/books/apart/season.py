"""A season with a bit of everything, by the stages' own verbs: mixed bunches, wreaths, a stall day, an order, a wedding."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from ledger.daybook import actions as daybook
from ledger.drying import actions as drying
from ledger.facts import actions as facts
from ledger.facts.models import CostKind
from ledger.growing import actions as growing
from ledger.pricing import actions as pricing
from ledger.sales import actions as sales
from ledger.stock import actions as stock

NEW_YEAR, SOWN, CUT, CLEARED = date(2024, 1, 1), date(2024, 4, 2), date(2024, 7, 9), date(2024, 9, 25)
DOWN, BUNCHED, MADE, FAIR, SENT = date(2024, 7, 30), date(2024, 8, 5), date(2024, 8, 20), date(2024, 9, 7), date(2024, 10, 2)
WEDDING, WORKSHOP = date(2024, 9, 28), date(2024, 11, 16)
KINDS = ("Honesty", "Teasel", "Statice", "Larkspur", "Yarrow")


@dataclass
class Season:
    """Who works, and what was made on the way; `turn` moves every number a little."""

    by: Any
    turn: int

    def make(self) -> None:
        """The whole season, in order of day."""
        self.ground()
        self.people()
        self.ask_about_a_wedding()
        for place, name in enumerate(KINDS):
            self.bed(place, name)
        self.bunch()
        self.make_up()
        self.sell_at_the_fair()
        self.send_an_order()
        self.do_the_wedding()
        self.hold_a_workshop()

    def ground(self) -> None:
        """A field with a rent and a normal use, a tunnel dearer than it is used, a loft with hooks."""
        facts.set_tax_status(by=self.by, on=NEW_YEAR, status="registered")
        facts.set_tax_rate(by=self.by, on=NEW_YEAR, rate_bp=2000)
        self.field = growing.add_plot(by=self.by, name="Field", kind="open", area_m2=Decimal(200))
        self.tunnel = growing.add_plot(by=self.by, name="Tunnel", kind="tunnel", area_m2=Decimal(40))
        self.loft = drying.add_place(by=self.by, name="Loft", unit="hooks", room=400)
        for space, cost, normal in ((self.field, 36_513, 1_530_000), (self.tunnel, 50_007, 100), (self.loft, 9_001, 4_000)):
            given = {"space": space.cost_object, "on": NEW_YEAR, "year": 2024, "expected_cost": cost}
            daybook.set_year_of_space(by=self.by, **given, normal_unit_days=normal, normal_source="as planted for years")
            self.buy(space, cost + self.turn, kind="space")

    def people(self) -> None:
        """One who is paid, and one who is not."""
        self.paid, self.own = (daybook.add_worker(by=self.by, name=name, paid=name == "Wren") for name in ("Wren", "Ada"))
        for worker, rate in ((self.paid, 1_237 + self.turn), (self.own, 1_100)):
            daybook.set_worker_rate(by=self.by, worker=worker, on=NEW_YEAR, per_hour=rate)

    def buy(
        self, thing: Any, net: int, *, kind: str = "inputs", on: date = SOWN, tax: int = 0, quantity: int | None = None
    ) -> None:
        """A bill for one thing."""
        line = daybook.BoughtLine("bill", CostKind.objects.get(code=kind), net, tax, [(thing.cost_object, 1)], quantity=quantity)
        daybook.record_purchase(by=self.by, on=on, supplier="Supplier", lines=[line])

    def work(self, on: date, minutes: int, *things: Any, worker: Any = None) -> None:
        """Minutes shared over things, the first weighing one, the second two, and so on."""
        shares = [(thing.cost_object, place + 1) for place, thing in enumerate(things)]
        daybook.note_work(
            by=self.by, worker=worker or self.paid, on=on, minutes=minutes + self.turn, task="growing", spent_on=shares
        )

    def bed(self, place: int, name: str) -> None:
        """A planting cut once: some stems fresh, some thrown out, the rest hung and taken down with losses."""
        plot, stems = (self.tunnel if place == 1 else self.field), 300 + 17 * place + self.turn
        area = Decimal(12 + place)
        bed = growing.add_bed(by=self.by, plot=plot, name=f"bed {place}", area_m2=area)
        species = growing.add_species(by=self.by, name=name)
        variety = growing.add_variety(by=self.by, species=species, name="Copper")
        planting = growing.plant(by=self.by, on=SOWN + timedelta(days=place), variety=variety, bed=bed, area_m2=area, season=2024)
        self.buy(planting, 3_011 + 701 * place, kind="plants", tax=602)
        lot = growing.cut(by=self.by, planting=planting, on=CUT, stage="full", stems=stems)
        self.work(CUT, 50 + place, planting, lot)
        self.part(place, lot, stems)
        growing.clear(by=self.by, planting=planting, on=CLEARED + timedelta(days=place))

    def part(self, place: int, lot: Any, stems: int) -> None:
        """Forty sold fresh, ten thrown out, the rest hung; one stem in twelve is lost."""
        growing.throw_out(by=self.by, lot=lot, on=CUT, stems=10, why="blown")
        way = pricing.add_way(by=self.by, name=f"Gate {place}", with_tax=True)
        sold = sales.sell(by=self.by, on=CUT, way=way, lines=[sales.Sold(40, lot=lot, price=33 + place)])
        self.work(CUT, 9, sold, worker=self.own)
        hung = stems - 50 - self.take_fresh(place, lot)
        hanging = drying.hang(by=self.by, lot=lot, on=CUT + timedelta(days=1), place=self.loft, stems=hung, room=20 + place)
        lost = hung // 12
        drying.take_down(by=self.by, hanging=hanging, on=DOWN, stems=hung, losses={"shattered": lost})
        self.work(DOWN, 31, hanging)
        self.hangings = [*getattr(self, "hangings", []), (hanging, hung - lost)]

    def take_fresh(self, place: int, lot: Any) -> int:
        """Fifteen stems of the third bed go to the wedding."""
        if place == 2:
            sales.take_stems_for(by=self.by, work=self.wedding, on=CUT, lot=lot, stems=15)
        return 15 if place == 2 else 0

    def ask_about_a_wedding(self) -> None:
        """A bouquet, buttonholes and the hire of an arch, priced with tax."""
        self.to_order = pricing.add_way(by=self.by, name="Work to order", with_tax=True)
        customer = sales.add_customer(by=self.by, name="Party of two")
        self.wedding = sales.open_job(
            by=self.by, on=SOWN, name="Wedding", kind="wedding", customer=customer, way=self.to_order, held_on=WEDDING
        )
        for name, quantity, price in (("bouquet", 1, 14_503), ("buttonhole", 7, 655)):
            sales.add_piece(by=self.by, job=self.wedding, on=SOWN, name=name, quantity=quantity, price=price)
        arch = sales.add_hire_item(by=self.by, name="Arch", charge=3_001, breakage=0, owned=1, on=SOWN)
        sales.plan_hire(by=self.by, job=self.wedding, on=SOWN, item=arch, quantity=1, first_day=WEDDING, last_day=WEDDING)

    def bunch(self) -> None:
        """Tens of the first bed, and mixed bunches of the second, third and fourth."""
        (first, sound), *others = self.hangings
        self.tens = stock.add_line(by=self.by, variety=first.parting.lot.planting.variety, unit="bunch", stems=10)
        self.mixed = stock.add_line(by=self.by, variety=None, name="Harvest mix", unit="bunch", stems=12)
        self.box = stock.new_box(by=self.by, shelf="A1")
        made = sound // 10
        run = stock.make_run(
            by=self.by, on=BUNCHED, inputs=[(first, made * 10)], outputs=[stock.Output(line=self.tens, made=made, box=self.box)]
        )
        stems = [(hanging, 5 * each) for each, (hanging, _) in zip((24, 12, 24), others, strict=False)]
        mixed = stock.make_run(
            by=self.by, on=BUNCHED, inputs=stems,
            outputs=[stock.Output(line=self.mixed, made=25, box=self.box)],
        )
        self.work(BUNCHED, 90, run, mixed)
        self.batches = [run.batches.get(), mixed.batches.get()]

    def make_up(self) -> None:
        """Three wreaths of a mixed bunch, four tens, forty loose stems of the last bed and three rings."""
        ring = daybook.add_material(by=self.by, name="willow ring", unit="pieces")
        self.buy(ring, 1_207, kind="craft", quantity=7)
        self.wreath = stock.add_line(by=self.by, variety=None, name="Door wreath", unit="piece")
        tens, mixed = self.batches
        run = stock.make_up(
            by=self.by, on=MADE, outputs=[stock.Output(line=self.wreath, made=3, box=self.box)],
            bunches=[(tens, self.box, 4), (mixed, self.box, 1)], stems=[(self.hangings[4][0], 40)], materials=[(ring, 3)],
        )
        self.work(MADE, 100, run, worker=self.own)

    def sell_at_the_fair(self) -> None:
        """A stall day with a pitch and hours: tens, mixed bunches and a wreath in two sales."""
        way = pricing.add_way(by=self.by, name="Fair", with_tax=True)
        day = sales.open_stall_day(by=self.by, on=FAIR, name="Michaelmas fair", way=way)
        self.buy(day, 2_503, kind="fees", on=FAIR)
        self.work(FAIR, 300, day)
        for lines in ([(7, self.tens, 651), (3, self.mixed, 799)], [(1, self.wreath, 4_501), (2, self.tens, 600)]):
            sold = [sales.Sold(number, line=line, price=price) for number, line, price in lines]
            sales.sell(by=self.by, on=FAIR, way=way, stall_day=day, lines=sold)

    def send_an_order(self) -> None:
        """Five tens and nine mixed bunches packed and sent; ten more mixed stay promised."""
        way = pricing.add_way(by=self.by, name="Florists", with_tax=False, trade=True)
        customer = sales.add_customer(by=self.by, name="Corner flowers")
        asked = [sales.Asked(self.tens, 5, price=433), sales.Asked(self.mixed, 12, price=571)]
        order = sales.take_order(by=self.by, on=FAIR, customer=customer, way=way, lines=asked, carriage=797)
        for line, batch, bunches in zip(order.lines.order_by("pk"), self.batches, (5, 9), strict=True):
            sales.pack(by=self.by, order_line=line, on=SENT, batch=batch, box=self.box, bunches=bunches)
        sales.send(by=self.by, order=order, on=SENT)
        self.work(SENT, 25, order)

    def do_the_wedding(self) -> None:
        """Four tens, three mixed bunches and a wreath beside the fresh stems; two mixed ones come back; ribbon and hours."""
        for line, bunches in ((self.tens, 4), (self.mixed, 3), (self.wreath, 1)):
            taken = sales.take_bunches_for(by=self.by, work=self.wedding, on=WEDDING, line=line, bunches=bunches)
            if line == self.mixed:
                sales.bring_bunches_back(by=self.by, taken=taken, on=WEDDING + timedelta(1), bunches=2, box=self.box)
        self.buy(self.wedding, 1_109, kind="craft", on=WEDDING)
        self.work(WEDDING, 170, self.wedding, worker=self.own)
        sales.do_job(by=self.by, job=self.wedding, on=WEDDING)

    def hold_a_workshop(self) -> None:
        """Five places sold of which one is given back in part; a bunch of tens and four mixed ones; a bill and hours."""
        one = sales.offer_workshop(
            by=self.by, on=FAIR, name="Wreaths", way=self.to_order, held_on=WORKSHOP, places=9, price=4_407
        )
        sold = sales.sell_places(by=self.by, workshop=one, on=FAIR, places=5)
        sales.give_places_back(by=self.by, sold=sold, on=SENT, places=1, returned=2_000)
        for line, bunches in ((self.tens, 1), (self.mixed, 4)):
            sales.take_bunches_for(by=self.by, work=one, on=WORKSHOP, line=line, bunches=bunches)
        self.buy(one, 903, kind="craft", on=WORKSHOP)
        self.work(WORKSHOP, 120, one)
        sales.hold_workshop(by=self.by, workshop=one, on=WORKSHOP)
