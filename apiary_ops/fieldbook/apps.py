from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class FieldbookConfig(AppConfig):
    name = "apiary_ops.fieldbook"
    label = "fieldbook"
    verbose_name = _("Field book")

    def ready(self) -> None:
        from apiary_ops.core import guards, shell

        from .guards import GUARDS

        guards.register(GUARDS)
        shell.register_page(104, _("Field book"), "fieldbook:exceptions", is_main=False)
