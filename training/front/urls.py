"""Addresses of the pages that cross apps."""

from __future__ import annotations

from django.urls import path

from training.front import views

app_name = "front"
urlpatterns = [
    path("", views.today, name="today"),
    path("crew/", views.crew_board, name="crew_board"),
]
