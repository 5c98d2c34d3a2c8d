from django import forms
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext

from apiary_ops.billing.models import METHODS
from apiary_ops.core.days import spoken_day
from apiary_ops.core.fields import DayField, MoneyField
from apiary_ops.core.forms import LedgerForm, OnceForm

from .compute import CAR_MINUTES, NUCS_IN_A_CAR, plan_windows

TIME = forms.TimeInput(attrs={"type": "time"}, format="%H:%M")


class OpenDay(LedgerForm):
    yard = forms.TypedChoiceField(label=_("Yard"), coerce=int)
    on = DayField(label=_("Day"))
    starts_at = forms.TimeField(label=_("First cars at"), widget=TIME, initial="05:00")
    ends_at = forms.TimeField(label=_("Last cars gone by"), widget=TIME, initial="08:00")
    minutes = forms.TypedChoiceField(
        label=_("One window is"),
        coerce=int,
        initial=60,
        choices=[(30, _("half an hour")), (60, _("one hour")), (90, _("an hour and a half")), (120, _("two hours"))],
    )
    hands = forms.IntegerField(
        label=_("People loading"),
        min_value=1,
        max_value=20,
        initial=2,
        help_text=_(
            "Places follow from this: a car with up to %(nucs)s nucs takes about %(minutes)s minutes to load "
            "(common practice)."
        )
        % {"nucs": NUCS_IN_A_CAR, "minutes": CAR_MINUTES},
    )
    places = forms.IntegerField(
        label=_("Places a window, if you know better"), min_value=1, max_value=200, required=False
    )
    notes = forms.CharField(
        label=_("Notes"),
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("Printed on the run sheet."),
    )

    def __init__(self, *args, yards, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["yard"].choices = yards

    def clean(self):
        values = super().clean()
        named = ("starts_at", "ends_at", "minutes", "hands")
        if any(values.get(name) is None for name in named):
            return values
        if values["ends_at"] <= values["starts_at"]:
            self.add_error("ends_at", _("The last cars leave after the first ones come. Choose a later time."))
            return values
        values["windows"] = plan_windows(
            values["starts_at"],
            values["ends_at"],
            minutes=values["minutes"],
            hands=values["hands"],
            places=values.get("places"),
        )
        return values


class Search(LedgerForm):
    q = forms.CharField(
        label=_("Buyer, telephone or order number"), max_length=60, required=False, widget=forms.TextInput
    )


def window_choices(windows):
    """Free windows by day and yard: "06:00–07:00, 3 free" under "Sat 5 Jun 2027, Mill yard"."""
    groups: dict[str, list[tuple[int, str]]] = {}
    for window in windows:
        name = f"{spoken_day(window.day.on)}, {window.day.yard}"
        free = ngettext("%(count)s place free", "%(count)s places free", window.free) % {"count": window.free}
        groups.setdefault(name, []).append((window.pk, f"{window}, {free}"))
    return list(groups.items())


class MoveBooking(LedgerForm):
    window = forms.TypedChoiceField(label=_("Window"), coerce=int)

    def __init__(self, *args, windows, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["window"].choices = windows


class Book(MoveBooking):
    """A window, and how many of each line: fields "line-<pk>"."""

    def __init__(self, *args, lines, **kwargs):
        super().__init__(*args, **kwargs)
        self.lines = lines
        for line in lines:
            self.fields[f"line-{line.pk}"] = forms.IntegerField(
                label=str(line.kind),
                min_value=0,
                max_value=line.outstanding,
                initial=line.outstanding,
                help_text=_("%(count)s to come, %(round)s.") % {"count": line.outstanding, "round": line.round},
            )

    @property
    def quantities(self):
        named = ((line.pk, self.cleaned_data[f"line-{line.pk}"]) for line in self.lines)
        return {pk: nucs for pk, nucs in named if nucs}


class NucsByLine(LedgerForm):
    """For each line the nucs that may leave, to tick: fields "line-<pk>". `rows` are queries.LineChoice."""

    def __init__(self, *args, rows, **kwargs):
        super().__init__(*args, **kwargs)
        self.rows = rows
        for row in rows:
            self.fields[f"line-{row.line.pk}"] = forms.TypedMultipleChoiceField(
                label=str(row.line.kind),
                coerce=int,
                required=False,
                choices=[(choice.nuc.pk, str(choice.nuc.number)) for choice in row.choices],
                initial=[choice.nuc.pk for choice in row.choices if choice.is_suggested],
                widget=forms.CheckboxSelectMultiple,
                error_messages={
                    "invalid_choice": _("A nuc on the list cannot leave any more. Look at the ticks and send again.")
                },
            )

    def ticks(self):
        """Each row with its field, the boxes to show at once (ticked or suggested) and the others."""
        for row in self.rows:
            field = self[f"line-{row.line.pk}"]
            ticked = {str(value) for value in field.value() or ()}
            pairs = list(zip(row.choices, field.subwidgets, strict=True))
            first = [pair for pair in pairs if pair[0].is_suggested or str(pair[0].nuc.pk) in ticked]
            others = [pair for pair in pairs if pair not in first and not pair[0].is_for_another_line]
            yield {"row": row, "field": field, "first": first, "others": others}

    @property
    def nucs(self):
        """The ticked nucs as pairs (nuc, line)."""
        return [
            (nuc_id, row.line.pk) for row in self.rows for nuc_id in self.cleaned_data.get(f"line-{row.line.pk}", [])
        ]

    @property
    def quantities(self):
        counts = {row.line.pk: len(self.cleaned_data.get(f"line-{row.line.pk}", [])) for row in self.rows}
        return {pk: nucs for pk, nucs in counts.items() if nucs}


class HandOver(NucsByLine, OnceForm):
    payment = MoneyField(label=_("Taken now"), required=False)
    method = forms.ChoiceField(label=_("How"), choices=METHODS, initial="cash", widget=forms.RadioSelect)
    taken_by = forms.CharField(label=_("Taken by"), max_length=120, help_text=_("The name of who takes them away."))
