from django.utils.translation import gettext_lazy as _

from apiary_ops.core.tables import LedgerTable, LinkColumn, StateColumn, TextColumn


class UserTable(LedgerTable):
    caption = _("People who sign in")

    full_name = LinkColumn(verbose_name=_("Name"), url_name="people:edit")
    username = TextColumn(verbose_name=_("Sign-in name"))
    role = TextColumn(verbose_name=_("Role"))
    sign_in = StateColumn(verbose_name=_("Sign-in"), accessor="sign_in_word", tones="sign_in_tone", orderable=False)
