"""Questions that customers, sales, orders and papers answer, each by its own name."""

from __future__ import annotations

from datetime import date
from functools import cache
from typing import Any, Self

from django.apps import apps
from django.db import models
from django.db.models import Case, Exists, F, OuterRef, Q, QuerySet, Subquery, Value, When
from django.db.models.functions import Coalesce, Greatest

from ledger.drying.queries import total
from ledger.facts.models import FactQuerySet
from ledger.pricing.queries import not_said_last

OUTSIDE = ("short", "refilled")


def rows(model: str) -> QuerySet:
    """All rows of one of the stage's models."""
    return apps.get_model("sales", model)._default_manager.all()


def _hold_changes(*whys: str) -> QuerySet:
    changes = apps.get_model("stock", "HoldChange")._default_manager.filter(undone_at__isnull=True)
    return changes.filter(why__in=whys) if whys else changes


def _sent() -> QuerySet:
    return rows("DispatchLine").filter(dispatch__undone_at__isnull=True)


def _billed() -> QuerySet:
    return rows("InvoiceLine").filter(credits_line__isnull=True)


def _billed_later() -> QuerySet:
    """Carriage on invoices; `more`: what of it went with no dispatch, net minor units."""
    billed = rows("InvoiceLine").filter(carriage_of__isnull=False, credits_line__isnull=True)
    return billed.annotate(more=F("net") - F("carriage_of__carriage"))


def _back_of_stand_ins() -> QuerySet:
    """Fewer asked for because a line that stood in was brought back from sale or return: what it stood in for is owed no more."""
    return rows("AskedChange").standing().filter(order_line__instead_of__isnull=False, reported_back__isnull=False)


class CustomerQuerySet(models.QuerySet):
    """Customers."""

    def named(self) -> Self:
        """Those whose details were not removed."""
        return self.filter(blanked_at__isnull=True)

    def with_owed(self) -> Self:
        """Add `owed`: what they owe on invoices now, minor units."""
        gross = total(rows("Invoice").filter(kind="invoice"), "customer", "gross")
        credited = total(rows("Invoice").filter(kind="credit"), "customer", "gross")
        paid = total(rows("Payment").standing(), "invoice__customer", "amount")
        return self.annotate(owed=gross - credited - paid)


class CustomerPriceQuerySet(FactQuerySet):
    """Customers' own prices."""

    def in_force(self, on: date) -> Self:
        """Those that hold that day; the end of an own price of one ends its own steps."""
        said = rows("CustomerPrice").standing_on(on)
        held = self.standing_on(on).exclude(not_said_last(said, "customer", "way", "line"))
        return held.order_by("customer", "way", "line", "at_least", "pk")


class OrderQuerySet(FactQuerySet):
    """Trade orders and how they stand now."""

    def with_standing(self) -> Self:
        """Add `asked`, `kept`, `packed` (not yet sent), `here` (packed, with no customer), `sent`, `to_invoice`, in bunches."""
        link = "order_line__order"
        return self.annotate(
            asked=total(rows("OrderLine").filter(instead_of=None), "order", "asked")
            + total(rows("AskedChange").standing().filter(order_line__instead_of=None), "order_line__order", "more")
            + total(_back_of_stand_ins(), "order_line__order", "more"),
            kept=total(_hold_changes(), "hold__order_line__order", "bunches"),
            packed=total(rows("Packing").open(), link, "bunches"), here=total(rows("Packing").here(), link, "bunches"),
            sent=total(_sent(), link, "bunches"),
            to_invoice=total(_sent(), link, "bunches") - total(_billed(), f"dispatch_line__{link}", "quantity"),
        )

    def to_be_invoiced(self) -> Self:
        """Of orders with their standing those of which something sent, or carriage after all was sent, is on no invoice."""
        said = rows("OrderChange").standing().filter(order=OuterRef("pk")).order_by("-on", "-pk").values("carriage")[:1]
        gone = total(rows("Dispatch").standing(), "order", "carriage") + total(_billed_later(), "carriage_of__order", "more")
        late = Q(sent__gt=0, kept=0, packed=0, carriage_said__gt=F("carriage_gone"))
        known = self.annotate(carriage_said=Coalesce(Subquery(said), F("carriage")), carriage_gone=gone)
        return known.filter(Q(to_invoice__gt=0) | late)

    def as_said(self) -> Self:
        """Add `wanted_for`: the day it is wanted for as last said."""
        anew = rows("OrderChange").standing().filter(order=OuterRef("pk")).order_by("-on", "-pk")
        said = Case(When(Exists(anew), then=Subquery(anew.values("wanted_on")[:1])), default=F("wanted_on"))
        return self.annotate(wanted_for=said)

    def whole(self) -> Self:
        """With the records its row shows."""
        return self.as_said().select_related("customer", "way", "recorded_by")


class OrderLineQuerySet(models.QuerySet):
    """Lines of orders and how they stand now."""

    def standing(self) -> Self:
        """Those of orders that stand."""
        return self.filter(order__undone_at__isnull=True)

    def with_standing(self) -> Self:
        """Add `entered` (promised in all), `given_back`, `short`, `kept`, `packed`, `to_pack`, `sent`, `invoiced`.

        And `wanted` (asked for as last said, less what came back of a line that stood in), `stood_in` (of it, by other
        lines), `open` (wanted, not promised nor stood in for), `lacking` (open or left short) and `later` (said to come later).
        """
        return self.annotate(**_sums_of_lines()).annotate(
            to_pack=Greatest(F("kept") - F("packed"), 0), open=F("wanted") - F("entered") + F("given_back") - F("stood_in"),
        ).annotate(lacking=F("open") + F("short"))

    def whole(self) -> Self:
        """With the records its row shows."""
        return self.select_related(
            "line__variety__species", "line__balance", "order__customer", "hold", "instead_of__line__variety__species"
        )


@cache
def _sums_of_lines() -> dict[str, Any]:
    """What `OrderLineQuerySet.with_standing` adds up; put together once, which took longer than the sums: no day is in it."""
    by_hold = "hold__order_line"
    instead = rows("OrderLine").filter(instead_of__isnull=False)
    changed = rows("AskedChange").standing()
    return {
        "wanted": F("asked") + total(changed, "order_line", "more")
        + total(_back_of_stand_ins(), "order_line__instead_of", "more"),
        "stood_in": total(instead, "instead_of", "asked") + total(changed, "order_line__instead_of", "more"),
        "later": total(rows("Later").standing(), "order_line", "bunches"),
        "entered": total(_hold_changes("promised"), by_hold, "bunches"),
        "given_back": -total(_hold_changes("released"), by_hold, "bunches"),
        "short": -total(_hold_changes(*OUTSIDE), by_hold, "bunches"),
        "kept": total(_hold_changes(), by_hold, "bunches"),
        "packed": total(rows("Packing").open(), "order_line", "bunches"),
        "sent": total(_sent(), "order_line", "bunches"),
        "invoiced": total(_billed(), "dispatch_line__order_line", "quantity"),
    }


class ParcelQuerySet(models.QuerySet):
    """Parcels."""

    def open(self) -> Self:
        """Parcels neither sent nor closed by a report, the oldest first."""
        sent = rows("Dispatch").standing().filter(parcel=OuterRef("pk"))
        reported = rows("Reported").standing().filter(handed_over__parcel=OuterRef("pk"))
        return self.exclude(Exists(sent)).exclude(Exists(reported)).order_by("pk")

    def fillable(self) -> Self:
        """Open ones that are still here: nobody has them on sale or return."""
        return self.open().exclude(Exists(rows("HandedOver").standing().filter(parcel=OuterRef("pk"))))

    def to_go(self) -> Self:
        """Those with something packed in them."""
        return self.fillable().filter(Exists(rows("Packing").standing().filter(parcel=OuterRef("pk"))))

    def out(self) -> Self:
        """Open ones that a customer has on sale or return."""
        return self.open().filter(Exists(rows("HandedOver").standing().filter(parcel=OuterRef("pk"))))


class PackingQuerySet(FactQuerySet):
    """What was packed."""

    def open(self) -> Self:
        """Packings that stand in parcels neither sent nor closed by a report."""
        sent = rows("Dispatch").standing().filter(parcel=OuterRef("parcel"))
        reported = rows("Reported").standing().filter(handed_over__parcel=OuterRef("parcel"))
        return self.standing().exclude(Exists(sent)).exclude(Exists(reported))

    def here(self) -> Self:
        """Those of open parcels that no customer has on sale or return."""
        return self.open().exclude(Exists(rows("HandedOver").standing().filter(parcel=OuterRef("parcel"))))

    def whole(self) -> Self:
        """With the records its row shows."""
        return self.select_related("order_line__line__variety__species", "taken__box", "taken__batch", "parcel__box")


class DispatchQuerySet(FactQuerySet):
    """Parcels sent."""

    def with_bunches(self) -> Self:
        """Add `bunches`: how many were sent."""
        return self.annotate(bunches=total(rows("DispatchLine"), "dispatch", "bunches"))

    def whole(self) -> Self:
        """With the records its row shows."""
        return self.select_related("order__customer", "parcel__box", "recorded_by")


class InvoiceQuerySet(FactQuerySet):
    """Issued papers and what is owed on them."""

    def with_owed(self) -> Self:
        """Add `paid`, `credited` and `owed`, minor units; nothing is owed on a credit."""
        paid = total(rows("Payment").standing(), "invoice", "amount")
        credited = total(rows("Invoice").filter(kind="credit"), "credits", "gross")
        owed = Case(When(kind="invoice", then=F("gross") - paid - credited), default=Value(0))
        return self.annotate(paid=paid, credited=credited, owed=owed)

    def overdue(self, on: date) -> Self:
        """Invoices not wholly paid after their day, the longest due first."""
        return self.with_owed().filter(owed__gt=0, due_on__lt=on).order_by("due_on", "number")

    def whole(self) -> Self:
        """With the records its row shows."""
        return self.select_related("customer", "order__customer", "job__customer", "credits", "recorded_by")


class PaymentQuerySet(FactQuerySet):
    """Money received on invoices, and given back."""

    def whole(self) -> Self:
        """With the records its row shows."""
        return self.select_related("invoice__customer", "recorded_by")


def _sale_lines(**which: bool) -> QuerySet:
    return rows("SaleLine").filter(**which).annotate(worth=F("quantity") * F("price") - F("off"))


class SaleQuerySet(FactQuerySet):
    """Retail sales."""

    def with_takings(self) -> Self:
        """Add `taken`: quantity times price less what offers took off over its lines, as prices were kept, minor units."""
        return self.annotate(taken=total(_sale_lines(), "sale", "worth"))

    def whole(self) -> Self:
        """With the records its row shows."""
        return self.select_related("way", "stall_day", "customer", "recorded_by")

    def leaf(self) -> Self:
        """With the records its row in a list shows, fetched apart: joined, many sales would be sorted whole for one leaf."""
        return self.prefetch_related("way", "stall_day", "customer")


class StallDayQuerySet(FactQuerySet):
    """Market days."""

    def open_on(self, on: date) -> Self:
        """Markets of that very day of which nothing was put away yet, the first begun first."""
        back = rows("StallBack").filter(undone_at=None, stall_day=OuterRef("pk"))
        return self.standing().filter(on=on).exclude(Exists(back)).order_by("pk")

    def still_out(self, on: date) -> Self:
        """Days by then with boxes loaded and nothing put away yet, the longest gone first."""
        loaded = rows("StallLoad").filter(undone_at=None, stall_day=OuterRef("pk"))
        back = rows("StallBack").filter(undone_at=None, stall_day=OuterRef("pk"))
        return self.standing_on(on).filter(Exists(loaded)).exclude(Exists(back)).order_by("on", "pk")

    def with_takings(self) -> Self:
        """Add `taken`: what its standing sales took, as prices were kept, minor units."""
        standing = Q(sale__undone_at__isnull=True)
        return self.annotate(taken=total(_sale_lines().filter(standing), "sale__stall_day", "worth"))

    def whole(self) -> Self:
        """With the records its row shows."""
        return self.select_related("way", "recorded_by")
