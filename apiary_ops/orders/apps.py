from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class OrdersConfig(AppConfig):
    name = "apiary_ops.orders"
    label = "orders"

    def ready(self) -> None:
        from apiary_ops.core import guards, shell

        from .guards import GUARDS
        from .models import Line

        guards.register(GUARDS, guards.state_path("orders_line", "state", Line.PATHS, "line"))
        shell.register_page(60, _("Orders"), "orders:list")
        shell.register_page(110, _("Buyers"), "orders:buyers", is_main=False)
        shell.register_page(115, _("Rounds and prices"), "orders:rounds", is_main=False)
