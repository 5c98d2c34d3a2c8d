from django.apps import AppConfig


class AllocationConfig(AppConfig):
    name = "apiary_ops.allocation"
    label = "allocation"

    def ready(self) -> None:
        from apiary_ops.core import guards

        from .guards import GUARDS

        guards.register(GUARDS)
