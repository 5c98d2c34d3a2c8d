from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class PickupsConfig(AppConfig):
    name = "apiary_ops.pickups"
    label = "pickups"

    def ready(self) -> None:
        from apiary_ops.core import guards, shell

        from .guards import GUARDS

        guards.register(GUARDS)
        shell.register_page(80, _("Pickups"), "pickups:day-list")
