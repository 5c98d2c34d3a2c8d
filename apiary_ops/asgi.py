"""The door for a ASGI server."""

import os

from django.core.asgi import get_asgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "apiary_ops.settings")
application = get_asgi_application()
