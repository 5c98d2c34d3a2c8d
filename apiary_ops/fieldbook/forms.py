from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.forms import LedgerForm

from .models import Record
from .services import ACTS, AGAIN, ASIDE, INSIST

WORDS = {
    AGAIN: _("Land it as things stand now"),
    INSIST: _("Let this stand; what it did not look at stays as it is"),
    ASIDE: _("Set it aside; nothing of it is used"),
}


class Settle(LedgerForm):
    """What becomes of one record, of what its state leaves open."""

    act = forms.ChoiceField(label=_("What becomes of it"), widget=forms.RadioSelect)
    because = forms.CharField(
        label=_("Why"), max_length=200, required=False, help_text=_("Needed when it is set aside.")
    )

    def __init__(self, *args: Any, record: Record, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["act"].choices = [(act, WORDS[act]) for act in ACTS.get(record.state, ())]
