from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class BusinessConfig(AppConfig):
    name = "apiary_ops.business"
    label = "business"

    def ready(self) -> None:
        from apiary_ops.core import guards, shell

        from .guards import GUARDS

        guards.register(GUARDS)
        shell.register_page(160, _("Seasons"), "business:season-list", is_main=False)
        shell.register_page(190, _("Settings"), "business:settings", is_main=False)
