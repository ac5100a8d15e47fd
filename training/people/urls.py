"""Addresses of the door."""

from __future__ import annotations

from django.urls import path

from training.people import views

app_name = "people"
urlpatterns = [
    path("sign-in/", views.sign_in, name="sign_in"),
    path("sign-out/", views.sign_out, name="sign_out"),
    path("units/", views.units, name="units"),
]
