from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class ClosingConfig(AppConfig):
    name = "apiary_ops.closing"
    label = "closing"

    def ready(self) -> None:
        from apiary_ops.core import shell

        shell.register_page(100, _("Close"), "closing:proofs")
