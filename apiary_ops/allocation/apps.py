from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class AllocationConfig(AppConfig):
    name = "apiary_ops.allocation"
    label = "allocation"

    def ready(self) -> None:
        from apiary_ops.core import guards, panels, shell

        from .guards import GUARDS
        from .panels import bound_to, places_of_order

        guards.register(GUARDS)
        panels.register("order", places_of_order)
        panels.register("nuc", bound_to)
        shell.register_page(70, _("Allocation"), "allocation:plan")
