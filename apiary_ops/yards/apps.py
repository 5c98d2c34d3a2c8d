from django.apps import AppConfig


class YardsConfig(AppConfig):
    name = "apiary_ops.yards"
    label = "yards"

    def ready(self) -> None:
        from apiary_ops.core import guards

        from .guards import GUARDS

        guards.register(GUARDS)
