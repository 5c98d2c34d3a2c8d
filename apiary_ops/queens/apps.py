from django.apps import AppConfig


class QueensConfig(AppConfig):
    name = "apiary_ops.queens"
    label = "queens"

    def ready(self) -> None:
        from apiary_ops.core import guards

        from .guards import GUARDS

        guards.register(GUARDS)
