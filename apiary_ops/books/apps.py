from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class BooksConfig(AppConfig):
    name = "apiary_ops.books"
    label = "books"

    def ready(self) -> None:
        from apiary_ops.core import guards, shell

        from .guards import GUARDS

        guards.register(GUARDS)
        shell.register_page(90, _("Books"), "books:journal")
