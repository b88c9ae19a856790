"""The server's entry: gunicorn conversions.wsgi."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "conversions.settings")
application = get_wsgi_application()
