from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class BillingConfig(AppConfig):
    name = "apiary_ops.billing"
    label = "billing"

    def ready(self) -> None:
        from apiary_ops.core import guards, panels, shell

        from . import panels as own_panels
        from .guards import GUARDS

        guards.register(GUARDS)
        panels.register("order", own_panels.deposit_and_papers)
        panels.register("line", own_panels.cancel_link)
        panels.register("buyer", own_panels.owed_by_buyer)
        shell.register_page(125, _("Money in"), "billing:money-in", is_main=False)
