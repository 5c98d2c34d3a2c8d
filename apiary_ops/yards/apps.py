from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class YardsConfig(AppConfig):
    name = "apiary_ops.yards"
    label = "yards"

    def ready(self) -> None:
        from apiary_ops.core import guards, panels, shell

        from . import imports, offline
        from . import panels as own_panels
        from .guards import GUARDS

        guards.register(GUARDS)
        offline.register()
        imports.register()
        panels.register("yard", own_panels.yard_health)
        panels.register("yard", own_panels.strength_of_yard)
        panels.register("colony", own_panels.colony_health)
        shell.register_page(20, _("Yards"), "yards:list")
        shell.register_page(103, _("Which yard next?"), "yards:next", is_main=False)
        shell.register_page(104, _("Health"), "yards:health", is_main=False)
        shell.register_page(105, _("Tasks"), "yards:task-list", is_main=False)
        shell.register_page(106, _("Visits"), "yards:visit-list", is_main=False)
        shell.register_page(107, _("Holds"), "yards:hold-list", is_main=False)
        shell.register_page(109, _("Change of yards"), "yards:change", is_main=False)
