"""Addresses of Will it fit? and the calculators. What was typed stands in the query, so that it can be passed on."""

from __future__ import annotations

from django.urls import path

from training.fitting import views

app_name = "fitting"
urlpatterns = [
    path("fit/", views.kinds, name="kinds"),
    path("fit/<slug:kind>/", views.fit, name="fit"),
    path("fit/<slug:kind>/card/", views.card, name="card"),
    path("calculators/", views.calculators, name="calculators"),
    path("calculators/<slug:slug>/", views.calculator, name="calculator"),
]
