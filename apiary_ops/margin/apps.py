from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class MarginConfig(AppConfig):
    name = "apiary_ops.margin"
    label = "margin"

    def ready(self) -> None:
        from apiary_ops.core import shell

        shell.register_page(130, _("Margin"), "margin:season", is_main=False)
