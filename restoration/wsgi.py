"""What a web server loads: `gunicorn restoration.wsgi`."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "restoration.settings")
application = get_wsgi_application()
