"""Ways of selling with their dated terms, dated prices, and offers."""

from typing import Any

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import Fact
from ledger.stock.models import Line

from .queries import OfferQuerySet, PriceQuerySet, WayQuerySet


def _share(name: Any, default: int = 0, most: int = 9_999) -> models.PositiveIntegerField:
    """A share in hundredths of a per cent."""
    return models.PositiveIntegerField(name, default=default, validators=[MaxValueValidator(most)])


class Way(models.Model):
    """A way of selling; `with_tax`: its prices are kept with tax (retail), else net (trade).

    `kind` says which costs it has: a stall its day, post its parcel, trade delivery and waiting for the money.
    """

    class Kind(models.TextChoices):
        STALL = "stall", _("market stall")
        GATE = "gate", _("at the gate")
        POST = "post", _("by post")
        TRADE = "trade", _("trade")
        MADE_UP = "made_up", _("made-up work")

    name = models.CharField(_("name"), max_length=60, unique=True)
    with_tax = models.BooleanField(_("prices are with tax"), default=True)
    trade = models.BooleanField(_("to trade customers on order"), default=False)
    kind = models.CharField(_("kind"), max_length=7, choices=Kind, default=Kind.GATE)

    objects = WayQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        verbose_name_plural = _("ways")
        constraints = [
            models.CheckConstraint(condition=Q(kind__in=["stall", "gate", "post", "trade", "made_up"]), name="way_kind_known"),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("pricing:way", args=[self.pk])


class WayTerms(Fact):
    """What selling this way costs from a day on, and the margin wanted.

    Shares in hundredths of a per cent, money in minor units. On takings with
    tax: `fee_bp` (card fee or commission) on the `card_share_bp` of takings it
    is paid on, `pitch_bp` (a pitch paid by takings), `bad_debt_bp` (what is
    never paid), and `interest_bp` a year for `days_to_wait` for the money. A
    day costs `fixed_day` (pitch, drive) and `day_minutes` at `hour_cost`, shared over its
    `usual_takings`; a parcel or delivery costs `fixed_parcel` (box, packing) and
    `carriage` not charged on, shared over what is `usual_parcel` in it. Both
    usual figures are with tax. `margin_bp`: margin wanted on net. Prices end in
    `ending` of every `ending_every` (NULL: one major unit); NULL `ending`: as they come.
    """

    way = models.ForeignKey(Way, models.PROTECT, related_name="terms")
    fee_bp = _share(_("card fee or commission"))
    card_share_bp = _share(_("share of takings it is paid on"), default=10_000, most=10_000)
    pitch_bp = _share(_("pitch by takings"))
    bad_debt_bp = _share(_("allowance for bad debts"))
    days_to_wait = models.PositiveSmallIntegerField(_("days until the money comes"), default=0)
    interest_bp = _share(_("what money costs a year"))
    fixed_day = models.PositiveBigIntegerField(_("pitch and other fixed cost of a day"), default=0)
    day_minutes = models.PositiveIntegerField(_("hours of a day"), default=0, validators=[MaxValueValidator(24 * 60 * 10)])
    hour_cost = models.PositiveBigIntegerField(_("what such an hour costs"), default=0)
    usual_takings = models.PositiveBigIntegerField(_("usual takings of a day"), default=0)
    fixed_parcel = models.PositiveBigIntegerField(_("box and packing of a parcel"), default=0)
    carriage = models.PositiveBigIntegerField(_("carriage or delivery not charged on"), default=0)
    usual_parcel = models.PositiveBigIntegerField(_("usual worth of a parcel"), default=0)
    margin_bp = _share(_("margin wanted"), default=3000)
    ending = models.PositiveIntegerField(_("price ending"), null=True, blank=True)
    ending_every = models.PositiveIntegerField(_("of every"), null=True, blank=True, validators=[MinValueValidator(1)])

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(
                    fee_bp__lt=10_000, margin_bp__lt=10_000, pitch_bp__lt=10_000, bad_debt_bp__lt=10_000, interest_bp__lt=10_000,
                    card_share_bp__lte=10_000,
                ),
                name="way_terms_below_whole",
            ),
            models.CheckConstraint(
                condition=Q(fixed_day=0, day_minutes=0) | Q(fixed_day=0, hour_cost=0) | Q(usual_takings__gt=0),
                name="way_terms_fixed_needs_takings",
                violation_error_message=_("A fixed cost of a day needs the usual takings of a day to be shared on."),
            ),
            models.CheckConstraint(
                condition=Q(fixed_parcel=0, carriage=0) | Q(usual_parcel__gt=0),
                name="way_terms_parcel_needs_worth",
                violation_error_message=_("The cost of a parcel needs what is usually in one to be shared on."),
            ),
            models.CheckConstraint(
                condition=Q(ending__isnull=True) | Q(ending_every__isnull=True) | Q(ending__lt=F("ending_every")),
                name="way_terms_ending_within",
                violation_error_message=_("A price ending lies below the step it comes back at."),
            ),
            models.CheckConstraint(
                condition=Q(ending_every__isnull=True) | Q(ending_every__gte=1), name="way_terms_step_positive"
            ),
        ]

    def __str__(self) -> str:
        return str(_("Terms of %(way)s from %(on)s")) % {"way": self.way, "on": self.on}

    def get_absolute_url(self) -> str:
        return self.way.get_absolute_url()


class Price(Fact):
    """The price of one unit of a line by one way of selling from a day on, minor units.

    `at_least`: for so many or more at once (1: any number); NULL `amount`: no longer
    sold so, or that quantity step no longer given.
    """

    way = models.ForeignKey(Way, models.PROTECT, related_name="prices")
    line = models.ForeignKey(Line, models.PROTECT, related_name="prices")
    at_least = models.PositiveIntegerField(
        _("for so many or more"), default=1, validators=[MinValueValidator(1), MaxValueValidator(100_000)]
    )
    amount = models.PositiveBigIntegerField(_("price"), null=True, blank=True, validators=[MinValueValidator(1)])

    objects = PriceQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        indexes = [models.Index(fields=["line", "way", "at_least", "on"])]
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(amount__isnull=True) | Q(amount__gte=1), name="price_positive"),
            models.CheckConstraint(condition=Q(at_least__gte=1), name="price_step_positive"),
        ]

    def __str__(self) -> str:
        return str(_("%(line)s, %(way)s from %(on)s")) % {"line": self.line, "way": self.way, "on": self.on}

    def get_absolute_url(self) -> str:
        return reverse("pricing:line", args=[self.line_id])


class Offer(Fact):
    """So many bunches together for one price by one way ("three for"), from `on` to `until` (NULL: until ended).

    `amount` in minor units as the way keeps its prices. Any mix of its lines counts.
    """

    way = models.ForeignKey(Way, models.PROTECT, related_name="offers")
    name = models.CharField(_("name"), max_length=80)
    quantity = models.PositiveIntegerField(_("how many together"), validators=[MinValueValidator(2), MaxValueValidator(1000)])
    amount = models.PositiveBigIntegerField(_("for"), validators=[MinValueValidator(1)])
    until = models.DateField(_("last day"), null=True, blank=True)

    objects = OfferQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(quantity__gte=2, amount__gte=1), name="offer_of_several"),
            models.CheckConstraint(
                condition=Q(until__isnull=True) | Q(until__gte=F("on")), name="offer_ends_after_it_begins",
                violation_error_message=_("An offer cannot end before it begins."),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("pricing:offer", args=[self.pk])


class OfferEnd(Fact):
    """An offer that holds no longer from this day on, whatever its last day was to be."""

    offer = models.ForeignKey(Offer, models.PROTECT, related_name="ends")

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.UniqueConstraint(
                fields=["offer"], condition=Q(undone_at__isnull=True), name="offer_end_once",
                violation_error_message=_("It has been ended already."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(offer)s ended %(on)s")) % {"offer": self.offer, "on": self.on}

    def get_absolute_url(self) -> str:
        return self.offer.get_absolute_url()


class OfferLine(models.Model):
    """A line that counts towards an offer."""

    part_of = "offer"
    offer = models.ForeignKey(Offer, models.PROTECT, related_name="lines")
    line = models.ForeignKey(Line, models.PROTECT, related_name="offer_lines")

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["offer", "line"], name="offer_line_once")]

    def __str__(self) -> str:
        return str(self.line)
