"""Addresses: each app keeps its own."""

from __future__ import annotations

from django.urls import include, path

urlpatterns = [
    path("", include("training.front.urls")),
    path("", include("training.people.urls")),
    path("", include("training.bench.urls")),
    path("", include("training.fitting.urls")),
    path("papers/", include("training.papers.urls")),
]

handler400 = "training.common.views.bad_request"
handler403 = "training.common.views.permission_denied"
handler404 = "training.common.views.page_not_found"
handler500 = "training.common.views.server_error"
