from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class DeskConfig(AppConfig):
    name = "apiary_ops.desk"
    label = "desk"

    def ready(self) -> None:
        from apiary_ops.core import shell

        from .queries import season_line

        shell.register_page(10, _("Desk"), "desk:home")
        shell.register_search("desk:search")
        shell.register_season_line(season_line)
