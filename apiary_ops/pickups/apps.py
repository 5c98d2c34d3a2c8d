from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class PickupsConfig(AppConfig):
    name = "apiary_ops.pickups"
    label = "pickups"

    def ready(self) -> None:
        from apiary_ops.core import guards, panels, shell

        from .guards import GUARDS
        from .panels import handed_over_with, pickups_of_order

        guards.register(GUARDS)
        panels.register("order", pickups_of_order)
        panels.register("nuc", handed_over_with)
        shell.register_page(80, _("Pickups"), "pickups:day-list")
