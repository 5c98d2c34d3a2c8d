from django.apps import AppConfig


class BillingConfig(AppConfig):
    name = "apiary_ops.billing"
    label = "billing"

    def ready(self) -> None:
        from apiary_ops.core import guards

        from .guards import GUARDS

        guards.register(GUARDS)
