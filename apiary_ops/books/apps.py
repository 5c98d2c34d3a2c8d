from django.apps import AppConfig


class BooksConfig(AppConfig):
    name = "apiary_ops.books"
    label = "books"

    def ready(self) -> None:
        from apiary_ops.core import guards

        from .guards import GUARDS

        guards.register(GUARDS)
