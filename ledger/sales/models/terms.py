"""What trade orders go by: terms and pack sizes of a way, and orders that come round."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import Fact
from ledger.pricing.models import Way
from ledger.stock.models import Line

from .customers import Customer


class OrderTerms(Fact):
    """What orders by a way go by from a day on, net minor units: the least order, carriage, and from when it is free.

    NULL `least`: no order is too small; NULL `free_from`: carriage is always charged.
    """

    way = models.ForeignKey(Way, models.PROTECT, related_name="order_terms")
    least = models.PositiveBigIntegerField(_("least order, net"), null=True, blank=True)
    carriage = models.PositiveBigIntegerField(_("carriage charged, net"), default=0)
    free_from = models.PositiveBigIntegerField(_("no carriage from, net"), null=True, blank=True)

    class Meta(Fact.Meta):
        abstract = False
        verbose_name_plural = _("order terms")
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(least__isnull=True) | Q(least__gte=1), name="order_terms_least_positive"),
        ]

    def __str__(self) -> str:
        return str(_("What orders by %(way)s go by from %(on)s")) % {"way": self.way, "on": self.on}

    def get_absolute_url(self) -> str:
        return self.way.get_absolute_url()


class PackRule(Fact):
    """By a way, from a day on, a line (NULL: any) is ordered from `least` bunches on, in multiples of `multiple`."""

    way = models.ForeignKey(Way, models.PROTECT, related_name="pack_rules")
    line = models.ForeignKey(Line, models.PROTECT, null=True, blank=True, related_name="pack_rules")
    least = models.PositiveIntegerField(_("at least"), default=1, validators=[MinValueValidator(1), MaxValueValidator(100_000)])
    multiple = models.PositiveIntegerField(
        _("in multiples of"), default=1, validators=[MinValueValidator(1), MaxValueValidator(10_000)]
    )

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(least__gte=1, multiple__gte=1), name="pack_rule_positive"),
        ]

    def __str__(self) -> str:
        return str(_("%(line)s by %(way)s: from %(least)d, in %(multiple)ds")) % {
            "line": self.line or _("any line"), "way": self.way, "least": self.least, "multiple": self.multiple,
        }

    def get_absolute_url(self) -> str:
        return self.way.get_absolute_url()


class StandingOrder(Fact):
    """An order that comes round: wanted first on `first_on`, then every so many weeks or months."""

    class Every(models.TextChoices):
        WEEKS = "weeks", _("weeks")
        MONTHS = "months", _("months")

    customer = models.ForeignKey(Customer, models.PROTECT, related_name="standing_orders")
    way = models.ForeignKey(Way, models.PROTECT, related_name="standing_orders")
    first_on = models.DateField(_("wanted first on"))
    every = models.PositiveSmallIntegerField(_("every"), default=1, validators=[MinValueValidator(1), MaxValueValidator(52)])
    unit = models.CharField(_("weeks or months"), max_length=6, choices=Every, default=Every.WEEKS)
    reference = models.CharField(_("customer's reference"), max_length=60, blank=True)

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(unit__in=["weeks", "months"]), name="standing_order_unit_known"),
            models.CheckConstraint(condition=Q(every__gte=1), name="standing_order_every_positive"),
            models.CheckConstraint(
                condition=Q(first_on__gte=F("on")), name="standing_order_first_not_before",
                violation_error_message=_("It cannot be wanted before it was agreed."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("Standing order %(key)s, %(customer)s")) % {"key": self.pk, "customer": self.customer}

    def get_absolute_url(self) -> str:
        return reverse("sales:standing_order", args=[self.pk])


class StandingLine(models.Model):
    """So many of a line each time; NULL `price`: what is agreed or listed that day."""

    part_of = "standing_order"
    standing_order = models.ForeignKey(StandingOrder, models.PROTECT, related_name="lines")
    line = models.ForeignKey(Line, models.PROTECT, related_name="standing_lines")
    asked = models.PositiveIntegerField(_("each time"), validators=[MinValueValidator(1), MaxValueValidator(100_000)])
    price = models.PositiveBigIntegerField(_("price of one, net"), null=True, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["standing_order", "line"], name="standing_line_once")]


class StandingEnd(Fact):
    """A standing order ended: nothing of it is wanted from this day on."""

    standing_order = models.ForeignKey(StandingOrder, models.PROTECT, related_name="ends")

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.UniqueConstraint(
                fields=["standing_order"], condition=Q(undone_at__isnull=True), name="standing_order_ended_once",
                violation_error_message=_("It has been ended already."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(order)s ended")) % {"order": self.standing_order}

    def get_absolute_url(self) -> str:
        return self.standing_order.get_absolute_url()


class StandingLeftOut(Fact):
    """A day on which a standing order came round and was not wanted."""

    standing_order = models.ForeignKey(StandingOrder, models.PROTECT, related_name="left_out")
    wanted_on = models.DateField(_("wanted for"))

    class Meta(Fact.Meta):
        abstract = False
        verbose_name_plural = _("standing orders left out")
        constraints = [
            *Fact.Meta.constraints,
            models.UniqueConstraint(
                fields=["standing_order", "wanted_on"], condition=Q(undone_at__isnull=True), name="standing_left_out_once",
                violation_error_message=_("That day is left out already."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(order)s: not on %(day)s")) % {"order": self.standing_order, "day": self.wanted_on}

    def get_absolute_url(self) -> str:
        return self.standing_order.get_absolute_url()
