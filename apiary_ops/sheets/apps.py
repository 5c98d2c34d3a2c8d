from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class SheetsConfig(AppConfig):
    name = "apiary_ops.sheets"
    label = "sheets"
    verbose_name = _("Sheets")

    def ready(self) -> None:
        from apiary_ops.core import guards, shell

        from .guards import GUARDS

        guards.register(GUARDS)
        shell.register_page(108, _("Tables in and out"), "sheets:list", is_main=False)
