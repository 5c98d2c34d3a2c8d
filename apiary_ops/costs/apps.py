from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class CostsConfig(AppConfig):
    name = "apiary_ops.costs"
    label = "costs"

    def ready(self) -> None:
        from apiary_ops.core import guards, shell

        from .guards import GUARDS

        guards.register(GUARDS)
        shell.register_page(120, _("Bills"), "costs:bills", is_main=False)
        shell.register_page(121, _("Suppliers"), "costs:suppliers", is_main=False)
