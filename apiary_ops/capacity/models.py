from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from apiary_ops.business.models import Season
from apiary_ops.core.models import Versioned
from apiary_ops.nucs.models import NucKind
from apiary_ops.yards.models import Yard

SPRINGS = [("low", _("late spring")), ("middle", _("middle spring")), ("high", _("early spring"))]


class Assumptions(Versioned):
    """What the forecast of a season assumes, all of it editable and shown as assumption."""

    season = models.OneToOneField(Season, on_delete=models.PROTECT, related_name="assumptions")
    # Days the spring runs behind (above zero) the published season curve, in a late, middle and early spring.
    low_shift_days = models.SmallIntegerField(_("late spring, days behind"), default=14)
    middle_shift_days = models.SmallIntegerField(_("middle spring, days behind"), default=0)
    high_shift_days = models.SmallIntegerField(_("early spring, days behind"), default=-7)
    keep_bees_frames = models.DecimalField(
        _("a parent keeps, frames of bees"), max_digits=4, decimal_places=1, default=7
    )
    keep_brood_frames = models.DecimalField(
        _("a parent keeps, frames of brood"), max_digits=4, decimal_places=1, default=3.5
    )
    nucs_per_person_day = models.PositiveSmallIntegerField(_("nucs made per person and day"), default=20)
    release_percent = models.PositiveSmallIntegerField(
        _("share of the safe number released now, %"),
        default=100,
        validators=[MinValueValidator(0), MaxValueValidator(100)],
    )

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="spring_shifts_are_ordered",
                condition=Q(low_shift_days__gte=F("middle_shift_days"), middle_shift_days__gte=F("high_shift_days"))
                & Q(low_shift_days__lte=35, high_shift_days__gte=-28),
                violation_error_message=_("A late spring cannot be earlier than the middle one; shifts run −28 to 35."),
            ),
            models.CheckConstraint(name="release_is_a_percentage", condition=Q(release_percent__lte=100)),
            models.CheckConstraint(
                name="a_parent_keeps_something",
                condition=Q(keep_bees_frames__range=(2, 20), keep_brood_frames__range=(1, 12)),
                violation_error_message=_("A parent keeps 2 to 20 frames of bees and 1 to 12 of brood."),
            ),
        ]

    def __str__(self) -> str:
        return f"assumptions for {self.season_id}"


class WeekLimit(Versioned):
    """What else limits a week of make-up: boxes, drawn comb, food frames, people and days."""

    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="week_limits")
    week = models.DateField(_("week"))  # its Monday
    boxes = models.PositiveIntegerField(_("boxes"), null=True, blank=True)
    drawn_combs = models.PositiveIntegerField(_("drawn combs"), null=True, blank=True)
    food_frames = models.PositiveIntegerField(_("food frames"), null=True, blank=True)
    person_days = models.DecimalField(_("person-days"), max_digits=4, decimal_places=1, null=True, blank=True)
    pickup_places = models.PositiveIntegerField(_("pickup places"), null=True, blank=True)

    history = HistoricalRecords()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["season", "week"], name="one_limit_a_week")]

    def __str__(self) -> str:
        return f"week of {self.week}"


class Forecast(models.Model):
    """A stored run of the build-up: what it came from (stamps, assumptions) and when."""

    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="forecasts")
    made_at = models.DateTimeField(_("as of"))
    today = models.DateField(_("looking from"))
    stamps = models.JSONField()
    assumptions = models.JSONField()
    colonies_counted = models.PositiveIntegerField(_("colonies counted"), default=0)
    colonies_left_out = models.JSONField(default=dict)  # reason -> how many
    unseen_tags = models.JSONField(default=list)  # tags of live colonies nobody looked at this year
    counted_by = models.JSONField(default=dict)  # look, sample, tally -> colonies that count
    last_looked_on = models.DateField(_("last looks"), null=True)
    nucs_made = models.JSONField(default=dict)  # kind -> nucs made by then, whose frames are gone already
    requested_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    def __str__(self) -> str:
        return f"forecast {self.pk}"


class ForecastRow(models.Model):
    """Nucs of a kind that a yard could have given by the end of a make-up week, in one spring."""

    forecast = models.ForeignKey(Forecast, on_delete=models.CASCADE, related_name="rows")
    yard = models.ForeignKey(Yard, on_delete=models.PROTECT, related_name="+")
    kind = models.ForeignKey(NucKind, on_delete=models.PROTECT, related_name="+")
    week = models.DateField(_("make-up week"))
    spring = models.CharField(_("spring"), max_length=6, choices=SPRINGS)
    alone = models.PositiveIntegerField(_("each colony alone"))
    pooled = models.PositiveIntegerField(_("pooled over the yard"))
    surplus_bees = models.DecimalField(_("surplus bees, frames"), max_digits=7, decimal_places=1)
    surplus_brood = models.DecimalField(_("surplus brood, frames"), max_digits=7, decimal_places=1)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["forecast", "yard", "kind", "week", "spring"], name="one_forecast_row_a_yard_kind_week_spring"
            ),
            models.CheckConstraint(name="alone_is_never_more_than_pooled", condition=Q(alone__lte=F("pooled"))),
        ]

    def __str__(self) -> str:
        return f"{self.yard_id} {self.week} {self.spring}: {self.pooled}"
