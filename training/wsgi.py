"""The door for a WSGI server of your own: `training.wsgi:application`."""

from __future__ import annotations

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "training.settings")
application = get_wsgi_application()

from training.common.starting import refuse_unsafe_start  # noqa: E402  settings must be configured first

refuse_unsafe_start()
