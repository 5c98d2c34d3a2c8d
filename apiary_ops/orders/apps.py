from django.apps import AppConfig


class OrdersConfig(AppConfig):
    name = "apiary_ops.orders"
    label = "orders"

    def ready(self) -> None:
        from apiary_ops.core import guards

        from .guards import GUARDS
        from .models import Line

        guards.register(GUARDS, guards.state_path("orders_line", "state", Line.PATHS, "line"))
