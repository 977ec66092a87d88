"""The WSGI application that `harvestlog up` serves."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "harvestlog.settings")
application = get_wsgi_application()
