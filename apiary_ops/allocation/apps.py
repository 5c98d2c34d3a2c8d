from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class AllocationConfig(AppConfig):
    name = "apiary_ops.allocation"
    label = "allocation"

    def ready(self) -> None:
        from apiary_ops.core import guards, shell

        from .guards import GUARDS

        guards.register(GUARDS)
        shell.register_page(70, _("Allocation"), "allocation:plan")
