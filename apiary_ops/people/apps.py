from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class PeopleConfig(AppConfig):
    name = "apiary_ops.people"
    label = "people"

    def ready(self) -> None:
        from apiary_ops.core import shell

        shell.register_page(180, _("People"), "people:list", is_main=False)
