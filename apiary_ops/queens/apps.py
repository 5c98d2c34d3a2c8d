from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class QueensConfig(AppConfig):
    name = "apiary_ops.queens"
    label = "queens"

    def ready(self) -> None:
        from apiary_ops.core import guards, shell

        from .guards import GUARDS

        guards.register(GUARDS)
        shell.register_page(40, _("Queens"), "queens:overview")
