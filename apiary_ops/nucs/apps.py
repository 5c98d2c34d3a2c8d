from django.apps import AppConfig


class NucsConfig(AppConfig):
    name = "apiary_ops.nucs"
    label = "nucs"

    def ready(self) -> None:
        from apiary_ops.core import guards

        from .guards import GUARDS
        from .models import Nuc

        guards.register(GUARDS, guards.state_path("nucs_nuc", "state", Nuc.PATHS, "nuc"))
