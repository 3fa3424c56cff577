"""Trade orders: promised, packed into parcels, sent."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.functional import cached_property
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostObject, Fact
from ledger.pricing.models import Way
from ledger.sales.queries.sets import DispatchQuerySet, OrderLineQuerySet, OrderQuerySet, PackingQuerySet, ParcelQuerySet
from ledger.stock.models import Box, Hold, HoldChange, Line, Movement

from .customers import Customer
from .terms import StandingOrder


class Order(Fact):
    """What a trade customer asked for on a day; how it stands follows from its lines and dispatches.

    `carriage`: what carriage is charged for the whole order, net minor units. `sale_or_return`: what is handed over stays
    the holding's until it is reported sold. `standing_order`: the agreement that came round, `wanted_on` its day.
    """

    cost_object = models.OneToOneField(CostObject, models.PROTECT, primary_key=True, related_name="order")
    customer = models.ForeignKey(Customer, models.PROTECT, related_name="orders")
    way = models.ForeignKey(Way, models.PROTECT, related_name="orders")
    wanted_on = models.DateField(_("wanted for"), null=True, blank=True)
    reference = models.CharField(_("customer's reference"), max_length=60, blank=True)
    carriage = models.PositiveBigIntegerField(_("carriage, net"), default=0)
    sale_or_return = models.BooleanField(_("on sale or return"), default=False)
    standing_order = models.ForeignKey(StandingOrder, models.PROTECT, null=True, blank=True, related_name="orders")

    objects = OrderQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.UniqueConstraint(
                fields=["standing_order", "wanted_on"], condition=Q(undone_at__isnull=True, standing_order__isnull=False),
                name="standing_order_once_a_day", violation_error_message=_("That day's order is taken already."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("Order %(key)s, %(customer)s")) % {"key": self.pk, "customer": self.customer}

    def get_absolute_url(self) -> str:
        return reverse("sales:order", args=[self.pk])

    @cached_property
    def said(self) -> "Order | OrderChange":
        """What last said when it is wanted, its reference and its carriage: the latest change, else the order itself."""
        return self.said_anew.standing().order_by("-on", "-pk").first() or self  # type: ignore[attr-defined]


class OrderLine(models.Model):
    """So many of one line asked for, at a price net of tax (minor units); the hold keeps what was promised.

    `asked`, `promised`: when it was taken; what changed since is in `AskedChange` and the hold's changes. `instead_of`: the
    line of the same order that this one stands in for.
    """

    part_of = "order"
    order = models.ForeignKey(Order, models.PROTECT, related_name="lines")
    line = models.ForeignKey(Line, models.PROTECT, related_name="order_lines")
    asked = models.PositiveIntegerField(_("asked for"), validators=[MinValueValidator(1), MaxValueValidator(100_000)])
    promised = models.PositiveIntegerField(_("promised"))
    price = models.PositiveBigIntegerField(_("price of one, net"))
    hold = models.OneToOneField(Hold, models.PROTECT, related_name="order_line")
    instead_of = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="stood_in_by")

    objects = OrderLineQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["order", "line"], condition=Q(instead_of__isnull=True), name="order_line_once"),
            models.CheckConstraint(
                condition=Q(promised__lte=F("asked")), name="order_line_promised_within_asked",
                violation_error_message=_("More is promised than was asked for."),
            ),
        ]

    def __str__(self) -> str:
        return str(self.line)

    @property
    def not_packed(self) -> int:
        """What of it is neither packed nor sent, where its standing is known; of what is packed some may count as short."""
        return self.kept - self.packed + self.lacking  # type: ignore[attr-defined,no-any-return]

    @property
    def otherwise(self) -> int:
        """What of it lacks and is not said to come later, where its standing is known; nil at least."""
        return max(self.lacking - self.later, 0)  # type: ignore[attr-defined,no-any-return]


class OrderChange(Fact):
    """What an order is wanted for, its reference and its carriage (net minor units) said anew; the latest standing one holds."""

    order = models.ForeignKey(Order, models.PROTECT, related_name="said_anew")
    wanted_on = models.DateField(_("wanted for"), null=True, blank=True)
    reference = models.CharField(_("customer's reference"), max_length=60, blank=True)
    carriage = models.PositiveBigIntegerField(_("carriage, net"), default=0)

    class Meta(Fact.Meta):
        abstract = False

    def __str__(self) -> str:
        return str(_("%(order)s, said anew %(on)s")) % {"order": self.order, "on": self.on}

    def get_absolute_url(self) -> str:
        return self.order.get_absolute_url()


class AskedChange(Fact):
    """So many more (+) or fewer (-) asked for of an order's line; `released`: what was given back of its promise with it."""

    order_line = models.ForeignKey(OrderLine, models.PROTECT, related_name="asked_changes")
    more = models.IntegerField(_("more"))
    released = models.OneToOneField(HoldChange, models.PROTECT, null=True, blank=True, related_name="asked_change")

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=~Q(more=0), name="asked_change_some"),
        ]

    def __str__(self) -> str:
        return str(_("%(more)+d asked for of %(line)s")) % {"more": self.more, "line": self.order_line.line}

    def get_absolute_url(self) -> str:
        return self.order_line.order.get_absolute_url()


class Later(Fact):
    """Bunches of an order line to come out of what hangs or waits, hoped for by a day; told to the customer, never promised."""

    order_line = models.ForeignKey(OrderLine, models.PROTECT, related_name="laters")
    bunches = models.PositiveIntegerField(_("bunches"), validators=[MinValueValidator(1), MaxValueValidator(100_000)])
    hoped_for = models.DateField(_("hoped for by"), null=True, blank=True)

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(bunches__gte=1), name="later_some"),
            models.UniqueConstraint(
                fields=["order_line"], condition=Q(undone_at__isnull=True), name="later_once_a_line",
                violation_error_message=_("Some of it is to come later already; undo that to say it anew."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(bunches)d to come later of %(line)s")) % {"bunches": self.bunches, "line": self.order_line.line}

    def get_absolute_url(self) -> str:
        return self.order_line.order.get_absolute_url()


class Parcel(models.Model):
    """The box an order is being packed into; it leaves whole with its dispatch."""

    part_of = "order"
    order = models.ForeignKey(Order, models.PROTECT, related_name="parcels")
    box = models.OneToOneField(Box, models.PROTECT, related_name="parcel_of")

    objects = ParcelQuerySet.as_manager()

    def __str__(self) -> str:
        return self.box.code


class Packing(Fact):
    """Bunches of one batch put from a box into an order's parcel (two rows of the stock book)."""

    order_line = models.ForeignKey(OrderLine, models.PROTECT, related_name="packings")
    parcel = models.ForeignKey(Parcel, models.PROTECT, related_name="packings")
    bunches = models.PositiveIntegerField(_("bunches"), validators=[MinValueValidator(1)])
    taken = models.OneToOneField(Movement, models.PROTECT, related_name="packing_taken")
    put = models.OneToOneField(Movement, models.PROTECT, related_name="packing_put")

    objects = PackingQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False

    def __str__(self) -> str:
        return str(_("%(bunches)d packed for %(order)s")) % {"bunches": self.bunches, "order": self.order_line.order}

    def get_absolute_url(self) -> str:
        return self.order_line.order.get_absolute_url()


class HandedOver(Fact):
    """A parcel of an order on sale or return that the customer has; its bunches stay on hand, and held, until reported."""

    parcel = models.ForeignKey(Parcel, models.PROTECT, related_name="handed_over")

    class Meta(Fact.Meta):
        abstract = False
        verbose_name_plural = _("handed over")
        constraints = [
            *Fact.Meta.constraints,
            models.UniqueConstraint(
                fields=["parcel"], condition=Q(undone_at__isnull=True), name="handed_over_once",
                violation_error_message=_("That parcel is with the customer already."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("Parcel %(parcel)s handed over %(on)s")) % {"parcel": self.parcel, "on": self.on}

    def get_absolute_url(self) -> str:
        return self.parcel.order.get_absolute_url()


class Dispatch(Fact):
    """A parcel sent, or what of one handed over was reported sold; income counts on this day.

    `carriage`: the part of the order's carriage that goes with it, net minor units.
    """

    order = models.ForeignKey(Order, models.PROTECT, related_name="dispatches")
    parcel = models.ForeignKey(Parcel, models.PROTECT, related_name="dispatches")
    carriage = models.PositiveBigIntegerField(_("carriage, net"), default=0)

    objects = DispatchQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        verbose_name_plural = _("dispatches")

    def __str__(self) -> str:
        return str(_("Dispatch of %(order)s, %(on)s")) % {"order": self.order, "on": self.on}

    def get_absolute_url(self) -> str:
        return reverse("sales:dispatch", args=[self.pk])


class DispatchLine(models.Model):
    """Bunches of one batch sent for one order line: one row of the stock book."""

    part_of = "dispatch"
    dispatch = models.ForeignKey(Dispatch, models.PROTECT, related_name="lines")
    order_line = models.ForeignKey(OrderLine, models.PROTECT, related_name="dispatch_lines")
    bunches = models.PositiveIntegerField(validators=[MinValueValidator(1)])
    movement = models.OneToOneField(Movement, models.PROTECT, related_name="dispatch_line")

    class Meta:
        ordering = ["pk"]
