"""Bed earnings of annual plantings worked out again from the bare tables: plain SQL and exact fractions, nothing of the program.

It knows only what `season.py` does: plantings cleared, lots parted whole, hangings all down, runs of one output. What
was spent on a node stays with its planting whatever was lost on the way; runs of one variety part by stems, others,
and what is made of bunches, by what each part had cost; income of a sale is its gross less tax on the whole sale,
shared by amount in whole minor units, largest remainders first, as is a parcel's carriage. What a made-up piece sold
cost besides its stems and bunches, its selling included, comes off its income and off the cost alike. A job's pieces and a
workshop are shared by what each thing taken for them and not brought back had cost; what was spent on them comes off likewise;
hire is nobody's.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from typing import Any

from django.db import connection

Shares = dict[int, Fraction]

SPENT = """
    SELECT share.spent_on_id, share.weight, line.id,
        line.net + CASE WHEN line.tax_comes_back THEN 0 ELSE line.tax END, line.quantity
    FROM daybook_purchaseshare share JOIN daybook_purchaseline line ON line.id = share.line_id
    JOIN daybook_purchase bill ON bill.id = line.purchase_id WHERE bill.undone_at IS NULL
"""
WORKED = """
    SELECT share.spent_on_id, share.weight, entry.id, entry.minutes, rate.per_hour
    FROM daybook_workshare share JOIN daybook_workentry entry ON entry.id = share.entry_id
    JOIN daybook_workerrate rate ON rate.worker_id = entry.worker_id WHERE entry.undone_at IS NULL
"""
STAYS = """
    SELECT planting.cost_object_id, bed.plot_id, planting.area_m2, planting."on", clearing."on"
    FROM growing_planting planting JOIN growing_bed bed ON bed.id = planting.bed_id
    JOIN growing_clearing clearing ON clearing.planting_id = planting.cost_object_id
"""
HUNG = """
    SELECT hanging.cost_object_id, hanging.place_id, hanging.room, hanging."on",
        MAX(down."on"), SUM(down.sound), hanging.parting_id
    FROM drying_hanging hanging JOIN drying_takingdown down ON down.hanging_id = hanging.cost_object_id
    GROUP BY hanging.cost_object_id, hanging.place_id, hanging.room, hanging."on", hanging.parting_id
"""
NORMAL = "SELECT space_id, normal_unit_days FROM daybook_yearofspace"
LOTS = "SELECT cost_object_id, planting_id, stems FROM growing_lot"
PARTINGS = "SELECT id, lot_id, way, stems FROM growing_parting WHERE undone_at IS NULL"
RUNS = """
    SELECT run.cost_object_id, batch.id, batch.made, run.kind FROM stock_run run
    JOIN stock_batch batch ON batch.run_id = run.cost_object_id
    ORDER BY run."on", run.cost_object_id
"""
STEMS_IN = "SELECT run_id, hanging_id, stems FROM stock_runinput"
VARIETY = "SELECT cost_object_id, variety_id FROM growing_planting"
BUNCHES_IN = """
    SELECT run_id, batch_id, -SUM(bunches) FROM stock_movement WHERE run_id IS NOT NULL AND bunches < 0
    GROUP BY run_id, batch_id
"""
USED = "SELECT spent_on_id, material_id, quantity FROM daybook_materialuse WHERE undone_at IS NULL"
SOLD = """
    SELECT sale.cost_object_id, COALESCE(sale.stall_day_id, sale.cost_object_id), sale.rate_bp, line.id,
        line.quantity * line.price - line.off, line.parting_id
    FROM sales_saleline line JOIN sales_sale sale ON sale.cost_object_id = line.sale_id WHERE sale.undone_at IS NULL
    ORDER BY sale.cost_object_id, line.id
"""
TAKEN = """
    SELECT taking.line_id, move.batch_id, -move.bunches FROM sales_saletaking taking
    JOIN stock_movement move ON move.id = taking.movement_id
"""
SENT = """
    SELECT dispatch.id, wanted.order_id, dispatch.carriage, sent.bunches * wanted.price, move.batch_id
    FROM sales_dispatchline sent JOIN sales_dispatch dispatch ON dispatch.id = sent.dispatch_id
    JOIN sales_orderline wanted ON wanted.id = sent.order_line_id JOIN stock_movement move ON move.id = sent.movement_id
    ORDER BY dispatch.id, sent.id
"""
CHARGED = """
    SELECT done.job_id, done.rate_bp, charge.quantity * charge.price, charge.hire_id FROM sales_jobcharge charge
    JOIN sales_jobdone done ON done.id = charge.done_id WHERE done.undone_at IS NULL ORDER BY charge.id
"""
PLACES = """
    SELECT held.workshop_id, held.rate_bp,
        SUM(sold.places * sold.price) - (SELECT SUM(returned) FROM sales_placesgivenback WHERE undone_at IS NULL)
    FROM sales_workshopheld held JOIN sales_placessold sold ON sold.workshop_id = held.workshop_id
    WHERE held.undone_at IS NULL GROUP BY held.workshop_id, held.rate_bp
"""
TAKEN_FOR = """
    SELECT COALESCE(taken.job_id, taken.workshop_id), move.batch_id, -move.bunches - COALESCE(
        (SELECT SUM(back.bunches) FROM stock_movement back WHERE back.brings_back_id = move.id AND back.undone_at IS NULL), 0)
    FROM sales_takenrow part JOIN sales_taken taken ON taken.id = part.taken_id
    JOIN stock_movement move ON move.id = part.movement_id WHERE taken.undone_at IS NULL
"""
FRESH_FOR = """
    SELECT COALESCE(job_id, workshop_id), parting_id FROM sales_taken WHERE parting_id IS NOT NULL AND undone_at IS NULL
"""
IN_BOXES = "SELECT batch_id, SUM(bunches) FROM stock_content GROUP BY batch_id"


@dataclass
class Sums:
    """What one planting brought in and cost, in minor units, and the minutes worked on it."""

    income: Fraction = Fraction(0)
    cost: Fraction = Fraction(0)
    space: Fraction = Fraction(0)
    minutes: Fraction = Fraction(0)
    unsold: Fraction = Fraction(0)


@dataclass
class Recomputed:
    """Everything worked out, step by step."""

    sums: dict[int, Sums] = field(default_factory=lambda: defaultdict(Sums))
    money: dict[int, Fraction] = field(default_factory=lambda: defaultdict(Fraction))
    minutes: dict[int, Fraction] = field(default_factory=lambda: defaultdict(Fraction))
    space: dict[int, Fraction] = field(default_factory=lambda: defaultdict(Fraction))

    def work_out(self) -> dict[int, Sums]:
        """Each planting's sums by its key."""
        self.spent()
        self.charge(STAYS, scale=100)
        self.charge(HUNG, scale=1)
        self.materials()
        self.follow_stems()
        self.follow_runs()
        self.bear()
        self.sell()
        self.work_to_order()
        return dict(self.sums)

    def spent(self) -> None:
        """Bills and work, shared by weight."""
        for rows, into in ((ask(SPENT), "money"), (ask(WORKED), "work")):
            whole: dict[int, int] = defaultdict(int)
            for _thing, weight, entry, *_ in rows:
                whole[entry] += weight
            for thing, weight, entry, amount, rate in rows:
                part = Fraction(amount * weight, whole[entry])
                if into == "work":
                    self.minutes[thing] += part
                    part = part * rate / 60
                self.money[thing] += part

    def charge(self, stays: str, *, scale: int) -> None:
        """What rooms cost, by room and days, at the larger of normal and actual use."""
        normal = dict(ask(NORMAL))
        rows = [(row[0], row[1], Fraction(str(row[2])) * scale * (as_day(row[4]) - as_day(row[3])).days) for row in ask(stays)]
        for space in {row[1] for row in rows}:
            used = sum(row[2] for row in rows if row[1] == space)
            rate = self.money[space] / max(used, Fraction(normal[space]))
            for thing, where, days in rows:
                if where == space:
                    self.space[thing] += rate * days

    def materials(self) -> None:
        """Each material has been bought once: a use costs its part of the bill."""
        bought = {row[0]: (Fraction(row[3]), row[4]) for row in ask(SPENT) if row[4]}
        for thing, material, quantity in ask(USED):
            cost, of = bought[material]
            self.money[thing] += cost * quantity / of

    def follow_stems(self) -> None:
        """What a lot, its partings and its hangings carry; what was thrown out is borne by the rest."""
        lots = {lot: (planting, stems) for lot, planting, stems in ask(LOTS)}
        cut: dict[int, int] = defaultdict(int)
        for planting, stems in lots.values():
            cut[planting] += stems
        kept = [(key, lot, stems) for key, lot, way, stems in ask(PARTINGS) if way != "thrown_out"]
        self.planting = {**{lot: planting for lot, (planting, _) in lots.items()}}
        self.of_parting = {key: lots[lot][0] for key, lot, _ in kept}
        self.carried = carried = {}
        for key, lot, stems in kept:
            planting, of_lot = lots[lot]
            whole = self.own(planting) * of_lot / cut[planting] + self.own(lot)
            carried[key] = whole * stems / sum(n for _, other, n in kept if other == lot)
        self.sound, self.each = {}, {}
        for hanging, _place, _room, _on, _down, sound, parting in ask(HUNG):
            self.planting[hanging] = self.of_parting[parting]
            self.each[hanging] = (carried[parting] + self.own(hanging)) / sound
            self.sound[hanging] = sound

    def own(self, thing: int) -> Fraction:
        """What was spent on a thing and the room it took."""
        return self.money[thing] + self.space[thing]

    def follow_runs(self) -> None:
        """What each batch cost a bunch, and whose it is."""
        stems_in, bunches_in, varieties = grouped(ask(STEMS_IN)), grouped(ask(BUNCHES_IN)), dict(ask(VARIETY))
        self.of_batch: dict[int, Shares] = {}
        self.of_run: dict[int, Shares] = {}
        self.bunch: dict[int, Fraction] = {}
        self.besides: dict[int, Fraction] = {}
        for run, batch, made, kind in ask(RUNS):
            cost: Shares = defaultdict(Fraction)
            stems: Shares = defaultdict(Fraction)
            for hanging, number in stems_in[run]:
                cost[self.planting[hanging]] += self.each[hanging] * number
                stems[self.planting[hanging]] += number
            for other, number in bunches_in[run]:
                for planting, share in self.of_batch[other].items():
                    cost[planting] += self.bunch[other] * number * share
            alike = len({varieties[planting] for planting in stems}) == 1 and not bunches_in[run]
            self.of_run[run] = self.of_batch[batch] = parts(stems if alike else cost)
            self.bunch[batch] = (sum(cost.values()) + self.own(run)) / made
            if kind == "making_up":
                self.besides[batch] = self.own(run) / made

    def bear(self) -> None:
        """What was spent on the way, on whose it is; and what is left in boxes, at cost."""
        for thing, planting in [*self.planting.items(), *((one, one) for one in set(self.planting.values()))]:
            self.add(planting, self.money[thing], self.space[thing], self.minutes[thing])
        for run, shares in self.of_run.items():
            for planting, share in shares.items():
                self.add(planting, self.money[run] * share, Fraction(0), self.minutes[run] * share)
        for batch, bunches in ask(IN_BOXES):
            for planting, share in self.of_batch[batch].items():
                self.sums[planting].unsold += self.bunch[batch] * bunches * share
        for hanging, sound in self.sound.items():
            loose = sound - sum(number for rows in grouped(ask(STEMS_IN)).values() for one, number in rows if one == hanging)
            self.sums[self.planting[hanging]].unsold += self.each[hanging] * loose

    def add(self, planting: int, money: Fraction, space: Fraction, minutes: Fraction) -> None:
        """Cost and minutes to one planting."""
        sums = self.sums[planting]
        sums.cost, sums.space, sums.minutes = sums.cost + money + space, sums.space + space, sums.minutes + minutes

    def sell(self) -> None:
        """Income net of tax, and what selling cost, by sales value."""
        sold: dict[int, list[tuple[int, Shares, bool]]] = defaultdict(list)
        taken = grouped(ask(TAKEN))
        for sale in by_first(ask(SOLD)):
            for (_sale, bears, _rate, line, _amount, parting), net in zip(sale, nets(sale), strict=True):
                whose = {self.of_parting[parting]: Fraction(1)} if parting else self.whose(taken[line])
                sold[bears].append((net, whose, self.take_off(taken[line])))
        for parcel in by_first(ask(SENT)):
            carried = shared(parcel[0][2], [row[3] for row in parcel])
            for (_dispatch, order, _carriage, net, batch), more in zip(parcel, carried, strict=True):
                sold[order].append((net + more, self.of_batch[batch], False))
        for bears, lines in sold.items():
            whole = sum(net for net, *_ in lines)
            for net, whose, made_up in lines:
                for planting, share in whose.items():
                    part = Fraction(net, whole) * share
                    off = self.money[bears] * part if made_up else Fraction(0)
                    self.sums[planting].income += net * share - off
                    self.add(planting, self.money[bears] * part - off, Fraction(0), self.minutes[bears] * part)

    def work_to_order(self) -> None:
        """Jobs done and workshops held: net of the tax on their whole, hire apart."""
        for job in by_first(ask(CHARGED)):
            rows = list(zip(job, nets([(0, 0, rate, 0, amount) for _job, rate, amount, _hire in job]), strict=True))
            pieces = sum(net for (_job, _rate, _amount, hire), net in rows if hire is None)
            self.earn(job[0][0], pieces, sum(net for _row, net in rows))
        for workshop, rate, money in ask(PLACES):
            (net,) = nets([(0, 0, rate, 0, int(money))])
            self.earn(workshop, net, net)

    def earn(self, work: int, net: int, whole: int) -> None:
        """Share the net of a job's pieces over whose was taken; its part of what was spent on the job comes off it."""
        bunches, fresh = grouped(ask(TAKEN_FOR))[work], [one for (one,) in grouped(ask(FRESH_FOR))[work]]
        cost: Shares = defaultdict(Fraction)
        for batch, number in bunches:
            for planting, share in self.of_batch[batch].items():
                cost[planting] += self.bunch[batch] * int(number) * share
        for parting in fresh:
            cost[self.of_parting[parting]] += self.carried[parting]
        for planting, share in parts(cost).items():
            part = Fraction(net, whole) * share
            self.sums[planting].income += net * share - self.money[work] * part
            self.add(planting, Fraction(0), Fraction(0), self.minutes[work] * part)
        self.take_off(bunches)

    def take_off(self, rows: Sequence[tuple[int, int]]) -> bool:
        """Take what made-up pieces cost besides their stems off income and cost; whether there were any."""
        for batch, pieces in rows:
            for planting, share in self.of_batch[batch].items():
                off = self.besides.get(batch, Fraction(0)) * int(pieces) * share
                self.sums[planting].income -= off
                self.sums[planting].cost -= off
        return any(batch in self.besides for batch, _ in rows)

    def whose(self, rows: Sequence[tuple[int, int]]) -> Shares:
        """Whose the bunches of one line are."""
        found: Shares = defaultdict(Fraction)
        for batch, bunches in rows:
            for planting, share in self.of_batch[batch].items():
                found[planting] += bunches * share
        return parts(found)


def ask(sql: str) -> list[Any]:
    """The rows of one question."""
    with connection.cursor() as cursor:
        cursor.execute(sql)
        return cursor.fetchall()


def as_day(value: Any) -> Any:
    """A day as either database gives it."""
    return date.fromisoformat(value) if isinstance(value, str) else value


def grouped(rows: Iterable[tuple[int, int, int]]) -> dict[int, list[tuple[int, int]]]:
    """Rows by their first."""
    found: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for key, *rest in rows:
        found[key].append(tuple(rest))
    return found


def by_first(rows: Sequence[Any]) -> list[list[Any]]:
    """Rows in lists of the same first."""
    found: dict[int, list[Any]] = defaultdict(list)
    for row in rows:
        found[row[0]].append(row)
    return list(found.values())


def parts(shares: Shares) -> Shares:
    """Shares of one."""
    whole = sum(shares.values())
    return {key: Fraction(share) / whole for key, share in shares.items()}


def nets(sale: Sequence[Any]) -> list[int]:
    """Each line of a sale without tax: the tax within the whole, half up, shared in whole minor units."""
    amounts, rate = [row[4] for row in sale], sale[0][2]
    whole = sum(amounts)
    tax = int(Fraction(whole * rate, 10_000 + rate) + Fraction(1, 2))
    return [amount - share for amount, share in zip(amounts, shared(tax, amounts), strict=True)]


def shared(total: int, amounts: Sequence[int]) -> list[int]:
    """A total shared by amount in whole minor units, largest remainders first, ties to the earlier."""
    exact = [Fraction(total * amount, sum(amounts)) for amount in amounts]
    shares = [int(one) for one in exact]
    for place in sorted(range(len(exact)), key=lambda one: (shares[one] - exact[one], one))[: total - sum(shares)]:
        shares[place] += 1
    return shares
