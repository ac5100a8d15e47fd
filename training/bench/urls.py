"""Addresses of calls and the bench. No address names a fault."""

from __future__ import annotations

from django.urls import path

from training.bench import ticket_pages, views

app_name = "bench"
urlpatterns = [
    path("calls/", views.calls, name="calls"),
    path("calls/<slug:slug>/", views.call, name="call"),
    path("bench/<uuid:public_id>/", views.bench, name="bench"),
    path("bench/<uuid:public_id>/act/", views.act, name="act"),
    path("bench/<uuid:public_id>/ticket/", ticket_pages.ticket_page, name="ticket"),
    path("bench/<uuid:public_id>/teardown/", views.teardown, name="teardown"),
]
