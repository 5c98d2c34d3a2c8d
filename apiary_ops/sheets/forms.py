"""A file, and which of its columns is which."""

from collections.abc import Mapping
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.forms import LedgerForm

from .compute import MOST_BYTES
from .models import ImportRun
from .queries import Reading

PREFIX = "column-"


class GiveFile(LedgerForm):
    file = forms.FileField(
        label=_("File"),
        allow_empty_file=True,
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,.tsv,.xlsx"}),
        help_text=_("CSV or .xlsx, at most 5 MB and 20,000 rows. Nothing is imported yet: first you see what it says."),
    )

    def clean_file(self) -> Any:
        """The size is looked at before anything is read."""
        file = self.cleaned_data["file"]
        if file.size > MOST_BYTES:
            raise ValidationError(_("The file is larger than 5 MB. Cut it into smaller ones."), code="size")
        return file


class ChooseColumns(LedgerForm):
    """One choice for each of our columns among the heads of the file."""

    sheet = forms.ChoiceField(label=_("Sheet"), required=False)
    day_order = forms.ChoiceField(
        label=_("Days written in numbers"), required=False, choices=ImportRun.DayOrder.choices
    )

    def __init__(self, *args: Any, reading: Reading, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        heads = [head for head in dict.fromkeys(reading.heads) if head and list(reading.heads).count(head) == 1]
        choices = [("", _("not in this file")), *((head, head) for head in heads)]
        self.fields["sheet"].choices = [(name, name) for name in reading.sheets]
        if len(reading.sheets) < 2:
            del self.fields["sheet"]
        for column in reading.columns:
            # None is required here: another sheet is chosen on this very form, and the page says what is missing.
            self.fields[PREFIX + column.name] = forms.ChoiceField(label=column.head, required=False, choices=choices)

    @property
    def columns(self) -> Mapping[str, str]:
        return {name.removeprefix(PREFIX): head for name, head in self.cleaned_data.items() if name.startswith(PREFIX)}

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        taken: dict[str, str] = {}
        for name, head in list(values.items()):
            if not name.startswith(PREFIX) or not head:
                continue
            if head in taken:
                other = self.fields[taken[head]].label
                self.add_error(name, _("“%(head)s” was already chosen for %(other)s.") % {"head": head, "other": other})
            taken.setdefault(head, name)
        return values


class Undo(LedgerForm):
    """Only to confirm: a post without fields is still a post."""

    sure = forms.CharField(widget=forms.HiddenInput, initial="yes")
