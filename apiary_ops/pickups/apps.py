from django.apps import AppConfig


class PickupsConfig(AppConfig):
    name = "apiary_ops.pickups"
    label = "pickups"

    def ready(self) -> None:
        from apiary_ops.core import guards

        from .guards import GUARDS

        guards.register(GUARDS)
