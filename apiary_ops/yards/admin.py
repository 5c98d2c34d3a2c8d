from typing import Any

from django.contrib import admin
from django.http import HttpRequest

from .models import (
    BroodCheck,
    Colony,
    Factor,
    GradeRule,
    Hold,
    Look,
    MiteWash,
    Task,
    Treatment,
    TreatmentKind,
    Visit,
    Yard,
)


class Window(admin.ModelAdmin):
    """A window, not a workshop: what happens in the yards is recorded on their own pages."""

    def has_add_permission(self, request: HttpRequest) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False


@admin.register(Yard)
class YardWindow(Window):
    list_display = ("code", "name", "place", "round_trip_km", "is_active")
    search_fields = ("code", "name")


@admin.register(Colony)
class ColonyWindow(Window):
    list_display = ("tag", "yard", "position", "boxes", "purpose", "state", "started_on", "ended_on")
    list_select_related = ("yard",)
    list_filter = ("state", "purpose", "yard")
    search_fields = ("tag",)


@admin.register(Visit)
class VisitWindow(Window):
    list_display = ("on", "yard", "work", "people", "minutes", "km", "temperature_c")
    list_select_related = ("yard",)
    list_filter = ("season", "work", "yard")


@admin.register(Look)
class LookWindow(Window):
    list_display = ("visit", "colony", "below_halves", "above_halves", "sealed_halves", "queen", "suspect_disease")
    list_select_related = ("visit", "colony")
    search_fields = ("colony__tag",)


@admin.register(Task)
class TaskWindow(Window):
    list_display = ("what", "yard", "colony", "due_on", "done_on", "done_by")
    list_select_related = ("yard", "colony", "done_by")


@admin.register(Hold)
class HoldWindow(Window):
    list_display = ("reason", "yard", "colony", "starts_on", "ended_on", "ended_because")
    list_select_related = ("yard", "colony")


@admin.register(GradeRule)
class GradeRuleWindow(Window):
    list_display = ("valid_from", "place", "grade", "least_frames", "least_sealed_frames", "gives_nucs", "source")


@admin.register(Factor)
class FactorWindow(Window):
    list_display = ("view", "warmer_than_c", "factor", "valid_from", "source")


@admin.register(TreatmentKind)
class TreatmentKindAdmin(admin.ModelAdmin):
    """Labels differ by country and change: the owner keeps them here."""

    list_display = ("name", "least_days", "most_days", "comes_out", "least_frames", "warmest_c", "is_in_use")
    fields = (
        "code",
        "name",
        "least_days",
        "most_days",
        "comes_out",
        "least_frames",
        "warmest_c",
        "is_in_use",
        "source",
    )

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False


@admin.register(Treatment)
class TreatmentWindow(Window):
    list_display = ("kind", "yard", "colony", "starts_on", "due_out_on", "ended_on")
    list_select_related = ("kind", "yard", "colony")


@admin.register(MiteWash)
class MiteWashWindow(Window):
    list_display = ("visit", "colony", "mites", "bees", "method")
    list_select_related = ("visit", "colony")


@admin.register(BroodCheck)
class BroodCheckWindow(Window):
    list_display = ("visit", "colony", "colonies_checked", "result")
    list_select_related = ("visit", "colony")
