from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class CapacityConfig(AppConfig):
    name = "apiary_ops.capacity"
    label = "capacity"

    def ready(self) -> None:
        from apiary_ops.core import panels, shell

        from .panels import own_pairs

        shell.register_page(30, _("Capacity"), "capacity:overview")
        shell.register_page(108, _("Swarm watch"), "capacity:swarm-watch", is_main=False)
        shell.register_page(140, _("Assumptions"), "capacity:assumptions", is_main=False)
        panels.register("rules", own_pairs)
