from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class NucsConfig(AppConfig):
    name = "apiary_ops.nucs"
    label = "nucs"

    def ready(self) -> None:
        from apiary_ops.core import guards, panels, shell

        from .guards import GUARDS
        from .models import Nuc
        from .panels import batches_of_lot, frames_given

        guards.register(GUARDS, guards.state_path("nucs_nuc", "state", Nuc.PATHS, "nuc"))
        panels.register("colony", frames_given)
        panels.register("lot", batches_of_lot)
        shell.register_page(50, _("Nucs"), "nucs:list")
