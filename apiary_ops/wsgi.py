"""The door for a WSGI server (gunicorn)."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "apiary_ops.settings")
application = get_wsgi_application()
