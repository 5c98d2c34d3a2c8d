from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from apiary_ops.business.models import Season
from apiary_ops.core.models import Versioned

from .guards import COLONY_PATHS

# Tags are written on lids and stand in addresses.
TAG_FORM = RegexValidator(
    r"^[A-Z0-9][A-Z0-9.-]*\Z", _("A tag is made of letters, digits, dots and hyphens, such as C0031 or 12-A.")
)


SKIES = [("sun", _("sun")), ("cloud", _("cloud")), ("rain", _("rain")), ("wind", _("wind"))]
KINDS_OF_WORK = [
    ("look", _("look")),
    ("split", _("split day")),
    ("feed", _("feeding")),
    ("check", _("nuc checks")),
    ("treat", _("treatment")),
    ("other", _("other")),
]
PATTIES = [("gone", _("gone")), ("half", _("half")), ("plenty", _("plenty"))]


class Yard(Versioned):
    """A place where colonies stand, in walking order by position."""

    code = models.SlugField(_("code"), unique=True, max_length=20)
    name = models.CharField(_("name"), max_length=80)
    place = models.CharField(_("place"), max_length=120, blank=True)
    landowner = models.CharField(_("landowner"), max_length=120, blank=True)
    access_notes = models.TextField(_("how to get in, hazards"), max_length=1000, blank=True)
    round_trip_km = models.PositiveSmallIntegerField(_("round trip, km"), default=0)
    is_pickup_yard = models.BooleanField(_("buyers collect here"), default=False)
    is_active = models.BooleanField(_("in use"), default=True)

    history = HistoricalRecords()

    def __str__(self) -> str:
        return self.name


class Colony(Versioned):
    """One colony: its tag, where it stands, what it is kept for and what became of it."""

    class Purpose(models.TextChoices):
        NUCS = "nucs", _("nucs")
        HONEY = "honey", _("honey")
        POLLINATION = "pollination", _("pollination contract")
        BREEDER = "breeder", _("breeder")
        DRONES = "drones", _("drone mother")
        RESERVE = "reserve", _("reserve")

    class State(models.TextChoices):
        LIVE = "live", _("live")
        LOST = "lost", _("lost")
        UNITED = "united", _("united")
        SOLD = "sold", _("sold")

    PATHS = COLONY_PATHS

    tag = models.CharField(_("tag"), unique=True, max_length=20, validators=[TAG_FORM])
    yard = models.ForeignKey(Yard, on_delete=models.PROTECT, related_name="colonies")
    position = models.PositiveSmallIntegerField(_("position"))
    boxes = models.PositiveSmallIntegerField(
        _("boxes"), default=2, validators=[MinValueValidator(1), MaxValueValidator(6)]
    )
    purpose = models.CharField(_("kept for"), max_length=12, choices=Purpose.choices, default=Purpose.NUCS)
    state = models.CharField(_("state"), max_length=8, choices=State.choices, default=State.LIVE)
    started_on = models.DateField(_("started on"))
    ended_on = models.DateField(_("ended on"), null=True, blank=True)
    loss_cause = models.CharField(_("why it ended"), max_length=120, blank=True)
    queen_year = models.PositiveSmallIntegerField(_("queen's year"), null=True, blank=True)

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["yard", "position"],
                condition=Q(state="live"),
                name="one_live_colony_at_a_position",
                violation_error_message=_("Another colony stands at this position."),
            ),
            models.CheckConstraint(name="colony_has_boxes", condition=Q(boxes__range=(1, 6))),
            models.CheckConstraint(
                name="an_ended_colony_has_its_day",
                condition=Q(state="live", ended_on__isnull=True)
                | (~Q(state="live") & Q(ended_on__gte=F("started_on"))),
                violation_error_message=_("A colony that ended needs the day, not before it started."),
            ),
        ]

    def __str__(self) -> str:
        return self.tag


class Visit(Versioned):
    """A trip to a yard: who, when, weather, minutes and km; the parent of what was recorded there."""

    class View(models.TextChoices):
        BELOW = "below", _("from below")
        ABOVE = "above", _("from above")
        BOTH = "both", _("both ways")

    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="+")
    yard = models.ForeignKey(Yard, on_delete=models.PROTECT, related_name="visits")
    on = models.DateField(_("day"), db_column="visited_on")
    crew = models.ManyToManyField(settings.AUTH_USER_MODEL, related_name="visits", verbose_name=_("crew"), blank=True)
    people = models.PositiveSmallIntegerField(_("people"), default=1)
    minutes = models.PositiveSmallIntegerField(_("minutes at the yard"), default=0)
    km = models.PositiveSmallIntegerField(_("km driven"), default=0)
    temperature_c = models.DecimalField(_("temperature, °C"), max_digits=4, decimal_places=1, null=True, blank=True)
    sky = models.CharField(_("sky"), max_length=6, blank=True, choices=SKIES)
    work = models.CharField(_("work"), max_length=8, default="look", choices=KINDS_OF_WORK)
    # How this crew counts today; each look may still hold either count.
    view = models.CharField(_("frames counted"), max_length=5, choices=View.choices, default=View.BELOW)
    notes = models.TextField(_("notes"), max_length=1000, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="visit_temperature_is_weather",
                condition=Q(temperature_c__isnull=True) | Q(temperature_c__range=(-30, 45)),
                violation_error_message=_("The temperature must lie between −30 and 45 °C."),
            ),
            models.CheckConstraint(name="visit_has_people", condition=Q(people__range=(1, 20))),
        ]

    def __str__(self) -> str:
        return f"{self.yard_id} {self.on}"


class Look(Versioned):
    """What one person saw of one colony on one visit. Frames are in halves; nothing seen is null, never 0."""

    class LowerBox(models.TextChoices):
        EMPTY = "empty", _("empty")
        FEW = "few", _("a few")
        SPILLING = "spilling", _("spilling down")
        BROOD = "brood", _("brood")

    class Queen(models.TextChoices):
        NOT_LOOKED = "", _("not looked")
        SEEN = "seen", _("seen or eggs seen")
        QUEENLESS = "none", _("queenless")
        SPOTTY = "spotty", _("spotty brood")
        DRONES = "drones", _("drone layer")

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="looks")
    colony = models.ForeignKey(Colony, on_delete=models.PROTECT, related_name="looks")
    # Frames of bees reaching the bottom bars of the upper box, in half frames.
    below_halves = models.PositiveSmallIntegerField(_("from below, half frames"), null=True, blank=True)
    above_halves = models.PositiveSmallIntegerField(_("from above, half frames"), null=True, blank=True)
    flying = models.BooleanField(_("flying"), default=False)
    lower_box = models.CharField(_("lower box"), max_length=8, blank=True, choices=LowerBox.choices)
    sealed_halves = models.PositiveSmallIntegerField(_("sealed brood, half frames"), null=True, blank=True)
    queen = models.CharField(_("queen"), max_length=6, blank=True, choices=Queen.choices)
    patty = models.CharField(_("patty left"), max_length=6, blank=True, choices=PATTIES)
    suspect_disease = models.BooleanField(_("disease suspected"), default=False)
    note = models.CharField(_("note"), max_length=300, blank=True)

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["visit", "colony"], name="one_look_of_a_colony_a_visit"),
            models.CheckConstraint(
                name="a_look_fits_the_boxes",
                condition=(Q(below_halves__isnull=True) | Q(below_halves__lte=40))
                & (Q(above_halves__isnull=True) | Q(above_halves__lte=40))
                & (Q(sealed_halves__isnull=True) | Q(sealed_halves__lte=40)),
                violation_error_message=_("A colony has at most 20 frames of bees or brood."),
            ),
        ]

    def __str__(self) -> str:
        return f"look at {self.colony_id}"

    @property
    def noted(self) -> str:
        """What was seen besides the counts, in words."""
        said = [
            _("disease suspected") if self.suspect_disease else "",
            self.get_queen_display() if self.queen else "",
            _("lower box: %(state)s") % {"state": self.get_lower_box_display()} if self.lower_box else "",
            _("patty: %(state)s") % {"state": self.get_patty_display()} if self.patty else "",
            _("bees flying") if self.flying else "",
            self.note,
        ]
        return "; ".join(str(words) for words in said if words)


class Factor(models.Model):
    """Brings a count of one view and temperature band to the footing: cool, not flying, counted from below."""

    view = models.CharField(_("view"), max_length=5, choices=[("below", _("from below")), ("above", _("from above"))])
    warmer_than_c = models.DecimalField(_("from °C"), max_digits=4, decimal_places=1)
    factor = models.DecimalField(_("factor"), max_digits=4, decimal_places=3)
    valid_from = models.DateField(_("valid from"))
    source = models.CharField(_("source"), max_length=200)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["view", "warmer_than_c", "valid_from"], name="one_factor_a_band_and_day"),
            models.CheckConstraint(name="factor_scales_down", condition=Q(factor__gt=0, factor__lte=1)),
        ]

    def __str__(self) -> str:
        return f"{self.view} from {self.warmer_than_c} °C × {self.factor}"


class GradeRule(models.Model):
    """One of the grower's rules, in order: the first that matches names the grade. Rules are dated, never changed."""

    valid_from = models.DateField(_("valid from"))
    place = models.PositiveSmallIntegerField(_("order"))
    grade = models.CharField(_("grade"), max_length=20)
    least_frames = models.DecimalField(_("strength from, frames"), max_digits=4, decimal_places=1, default=0)
    least_sealed_frames = models.DecimalField(
        _("sealed brood from, frames"), max_digits=4, decimal_places=1, null=True, blank=True
    )
    gives_nucs = models.BooleanField(_("counts for nucs"), default=True)
    source = models.CharField(_("source"), max_length=200, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["valid_from", "place"], name="one_grade_rule_a_place"),
            models.CheckConstraint(name="grade_rule_strength_is_frames", condition=Q(least_frames__range=(0, 20))),
        ]

    def __str__(self) -> str:
        return f"{self.grade} from {self.least_frames} frames"


class Task(Versioned):
    """Something to do at a yard or a colony, by a day."""

    yard = models.ForeignKey(Yard, on_delete=models.PROTECT, related_name="tasks")
    colony = models.ForeignKey(Colony, on_delete=models.PROTECT, null=True, blank=True, related_name="tasks")
    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="+")
    what = models.CharField(_("what"), max_length=120)
    due_on = models.DateField(_("due on"))
    done_on = models.DateField(_("done on"), null=True, blank=True)
    done_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="a_done_task_says_who",
                condition=Q(done_on__isnull=True, done_by__isnull=True)
                | Q(done_on__isnull=False, done_by__isnull=False),
            ),
        ]

    def __str__(self) -> str:
        return self.what


class Hold(models.Model):
    """A yard or a colony from which nothing moves until the hold ends, with its reason."""

    yard = models.ForeignKey(Yard, on_delete=models.PROTECT, related_name="holds")
    colony = models.ForeignKey(Colony, on_delete=models.PROTECT, null=True, blank=True, related_name="holds")
    reason = models.CharField(_("reason"), max_length=200)
    starts_on = models.DateField(_("from"))
    ended_on = models.DateField(_("ended on"), null=True, blank=True)
    ended_because = models.CharField(_("why it ended"), max_length=200, blank=True)
    placed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="a_hold_ends_after_it_starts",
                condition=Q(ended_on__isnull=True) | Q(ended_on__gte=F("starts_on")),
                violation_error_message=_("A hold cannot end before it starts."),
            ),
        ]

    def __str__(self) -> str:
        return self.reason
