from decimal import Decimal
from typing import Any

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from apiary_ops.business.models import Season
from apiary_ops.core.models import Versioned
from apiary_ops.queens.models import Lot
from apiary_ops.yards.models import Colony, Visit, Yard

from .compute import frames_text


def _frames(label: Any, **options: Any) -> Any:
    return models.DecimalField(label, max_digits=4, decimal_places=1, **options)


class NucKind(Versioned):
    """A kind of nuc: what it is made up from, and what it must be when sold."""

    code = models.SlugField(_("code"), unique=True, max_length=20)
    name = models.CharField(_("name"), max_length=60)
    frames = models.PositiveSmallIntegerField(_("frames in the box"))
    # Make-up recipe, per nuc on split day.
    make_up_bees = _frames(_("frames of bees"))
    make_up_brood = _frames(_("frames mostly sealed brood"))
    make_up_food = _frames(_("food frames"))
    make_up_combs = _frames(_("drawn combs"))
    # Sale standard.
    sale_covered = _frames(_("frames covered"))
    sale_brood = _frames(_("frames with brood of its own queen"))
    sale_food = _frames(_("food frames at sale"))
    weeks_to_sale = models.PositiveSmallIntegerField(_("weeks from make-up to sale"), default=4)
    keeps_days = models.PositiveSmallIntegerField(_("days a ready nuc keeps"), default=10)
    queen_laying_rate = models.DecimalField(
        _("share of introduced queens still laying at sale"), max_digits=4, decimal_places=3, default=Decimal("0.84")
    )
    source = models.CharField(_("source of the standard"), max_length=200, blank=True)

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="recipe_takes_bees_and_brood", condition=Q(make_up_bees__gt=0, make_up_brood__gt=0)
            ),
            models.CheckConstraint(
                name="sale_standard_fits_the_box",
                condition=Q(sale_covered__lte=F("frames"), sale_brood__lte=F("sale_covered")),
                violation_error_message=_("A nuc cannot cover more frames than its box holds."),
            ),
            models.CheckConstraint(
                name="laying_rate_is_a_share", condition=Q(queen_laying_rate__gt=0, queen_laying_rate__lte=1)
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def make_up_words(self) -> str:
        """What one takes on split day: "2½ frames of bees, 2 of brood, 1 of food, 2 of drawn comb"."""
        words = _("%(bees)s frames of bees, %(brood)s of brood, %(food)s of food, %(combs)s of drawn comb")
        return str(words) % {
            "bees": frames_text(self.make_up_bees),
            "brood": frames_text(self.make_up_brood),
            "food": frames_text(self.make_up_food),
            "combs": frames_text(self.make_up_combs),
        }

    @property
    def sale_words(self) -> str:
        """What one must be when sold: "4 frames covered, 3 with brood, 1 of food"."""
        words = _("%(covered)s frames covered, %(brood)s with brood, %(food)s of food")
        return str(words) % {
            "covered": frames_text(self.sale_covered),
            "brood": frames_text(self.sale_brood),
            "food": frames_text(self.sale_food),
        }


class SplitDay(models.Model):
    """A day on which nucs are made in a yard; donors give frames, batches take them."""

    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="+")
    yard = models.ForeignKey(Yard, on_delete=models.PROTECT, related_name="split_days")
    on = models.DateField(_("day"), db_column="split_on")
    visit = models.OneToOneField(Visit, on_delete=models.PROTECT, null=True, blank=True, related_name="split_day")
    done_on = models.DateField(_("done on"), null=True, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["yard", "on"], name="one_split_day_a_yard_and_day"),
        ]

    def __str__(self) -> str:
        return f"split day {self.on}"

    @property
    def state_word(self) -> str:
        return str(_("nucs made") if self.done_on else _("planned"))

    @property
    def state_tone(self) -> str:
        return "good" if self.done_on else "now"


class Donation(models.Model):
    """Frames one colony really gave on a split day."""

    split_day = models.ForeignKey(SplitDay, on_delete=models.PROTECT, related_name="donations")
    colony = models.ForeignKey(Colony, on_delete=models.PROTECT, related_name="donations")
    bees_frames = _frames(_("frames of bees"))
    brood_frames = _frames(_("frames of sealed brood"))

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["split_day", "colony"], name="a_colony_gives_once_a_split_day"),
            models.CheckConstraint(
                name="a_donation_is_frames", condition=Q(bees_frames__range=(0, 20), brood_frames__range=(0, 20))
            ),
        ]

    def __str__(self) -> str:
        return f"{self.colony_id} gave {self.brood_frames}"


class Batch(models.Model):
    """Nucs of one kind made together, with queens of one lot."""

    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="+")
    split_day = models.ForeignKey(SplitDay, on_delete=models.PROTECT, related_name="batches")
    kind = models.ForeignKey(NucKind, on_delete=models.PROTECT, related_name="batches")
    stands_at = models.ForeignKey(Yard, on_delete=models.PROTECT, related_name="batches", verbose_name=_("stands at"))
    lot = models.ForeignKey(Lot, on_delete=models.PROTECT, null=True, blank=True, related_name="batches")
    size = models.PositiveIntegerField(_("nucs"))
    made = models.PositiveIntegerField(_("made"), default=0)  # kept by a guard from Nuc rows
    made_on = models.DateField(_("made up on"))
    queen_in_on = models.DateField(_("queens in on"), null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(name="batch_has_nucs", condition=Q(size__gt=0)),
            models.CheckConstraint(
                name="a_batch_is_not_exceeded",
                condition=Q(made__lte=F("size")),
                violation_error_message=_("This batch already has all its nucs."),
            ),
            models.CheckConstraint(
                name="queens_come_after_make_up",
                condition=Q(queen_in_on__isnull=True) | Q(queen_in_on__gte=F("made_on")),
            ),
        ]

    def __str__(self) -> str:
        return f"batch {self.pk}"


class Nuc(models.Model):
    """One numbered nuc."""

    class State(models.TextChoices):
        MADE = "made", _("made")
        QUEENED = "queened", _("queened")
        LAYING = "laying", _("laying")
        FAILED = "failed", _("queen failed")
        HANDED_OVER = "handed over", _("handed over")
        LOST = "lost", _("lost")
        UNITED = "united", _("united")
        KEPT = "kept", _("kept as a colony")
        RETURNED = "returned", _("returned")

    # What may become of what; the guard and the diagram in DEVELOPERS.md are made from this.
    PATHS = {
        "made": ("queened", "lost", "united", "kept"),
        "queened": ("laying", "failed", "lost", "united", "kept"),
        "laying": ("handed over", "failed", "lost", "united", "kept"),
        "failed": ("queened", "lost", "united", "kept"),
        "handed over": ("returned",),
        "lost": (),
        "united": (),
        "kept": (),
        "returned": ("lost", "united", "kept"),
    }
    LIVE_STATES = ("made", "queened", "laying", "failed")

    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="+")
    number = models.PositiveIntegerField(_("number"))
    batch = models.ForeignKey(Batch, on_delete=models.PROTECT, related_name="nucs")
    kind = models.ForeignKey(NucKind, on_delete=models.PROTECT, related_name="+")
    yard = models.ForeignKey(Yard, on_delete=models.PROTECT, related_name="nucs", verbose_name=_("stands at"))
    state = models.CharField(_("state"), max_length=11, choices=State.choices, default=State.MADE)
    queen_cost_cents = models.BigIntegerField(_("queen cost"), default=0)
    queened_on = models.DateField(_("queen in on"), null=True, blank=True)
    ready_on = models.DateField(_("ready since"), null=True, blank=True)  # cached; worked out from the last check
    ended_on = models.DateField(_("left on"), null=True, blank=True)
    loss_cause = models.CharField(_("cause of loss"), max_length=120, blank=True)
    hold_reason = models.CharField(_("on hold because"), max_length=200, blank=True)

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["season", "number"], name="one_nuc_a_number_and_season"),
            models.CheckConstraint(name="queen_cost_is_not_negative", condition=Q(queen_cost_cents__gte=0)),
            models.CheckConstraint(
                name="a_nuc_that_left_has_its_day",
                condition=Q(state__in=["made", "queened", "laying", "failed", "returned"]) | Q(ended_on__isnull=False),
            ),
        ]
        indexes = [models.Index(fields=["season", "state", "kind"], name="nuc_season_state_kind")]

    def __str__(self) -> str:
        return f"{self.number}"

    @property
    def wants_a_queen(self) -> bool:
        """Whether it has none, or hers failed: it may be requeened."""
        return self.state in ("made", "failed")

    @property
    def state_tone(self) -> str:
        return {"made": "now", "queened": "now", "laying": "good", "failed": "mind", "returned": "mind"}.get(
            self.state, "quiet"
        )

    @property
    def is_live(self) -> bool:
        return self.state in self.LIVE_STATES


class Check(models.Model):
    """What was seen of a nuc on a day. Null and an empty queen mean: not looked."""

    class Queen(models.TextChoices):
        NOT_LOOKED = "", _("not looked")
        RELEASED = "released", _("released")
        LAYING = "laying", _("laying")
        MISSING = "missing", _("missing or failed")

    nuc = models.ForeignKey(Nuc, on_delete=models.PROTECT, related_name="checks")
    on = models.DateField(_("day"), db_column="checked_on")
    queen = models.CharField(_("queen"), max_length=8, blank=True, choices=Queen.choices)
    covered_halves = models.PositiveSmallIntegerField(_("frames covered, halves"), null=True, blank=True)
    brood_halves = models.PositiveSmallIntegerField(_("frames with brood, halves"), null=True, blank=True)
    own_sealed_brood = models.BooleanField(_("sealed brood of its own queen"), null=True, blank=True)
    food_halves = models.PositiveSmallIntegerField(_("food frames, halves"), null=True, blank=True)
    queen_cells = models.BooleanField(_("queen cells"), null=True, blank=True)
    disease_clear = models.BooleanField(_("brood looked clear of disease"), null=True, blank=True)
    note = models.CharField(_("note"), max_length=200, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="a_check_fits_the_box",
                condition=(Q(covered_halves__isnull=True) | Q(covered_halves__lte=20))
                & (Q(brood_halves__isnull=True) | Q(brood_halves__lte=20))
                & (Q(food_halves__isnull=True) | Q(food_halves__lte=20)),
                violation_error_message=_("A nuc has at most 10 frames."),
            ),
        ]
        indexes = [models.Index(fields=["nuc", "-on", "-id"], name="check_latest_of_a_nuc")]

    def __str__(self) -> str:
        return f"check {self.on}"
