from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class PromiseConfig(AppConfig):
    name = "apiary_ops.promise"
    label = "promise"

    def ready(self) -> None:
        from apiary_ops.core import guards, panels, shell

        from .guards import GUARDS
        from .panels import promises_of_order, room_for_order

        guards.register(GUARDS)
        panels.register("order", promises_of_order)
        panels.register("new-order", room_for_order)
        shell.register_page(65, _("Promises"), "promise:take-order")
