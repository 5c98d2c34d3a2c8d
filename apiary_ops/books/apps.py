from django.apps import AppConfig


class BooksConfig(AppConfig):
    name = "apiary_ops.books"
    label = "books"
