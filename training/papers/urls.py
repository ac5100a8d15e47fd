"""Addresses of the papers. None names a question: a name could tell its answer."""

from __future__ import annotations

from django.urls import path

from training.papers import views

app_name = "papers"
urlpatterns = [
    path("", views.papers, name="papers"),
    path("<slug:slug>/begin/", views.begin, name="begin"),
    path("sittings/<int:pk>/", views.sitting, name="sitting"),
    path("sittings/<int:pk>/<int:position>/", views.question, name="question"),
    path("sittings/<int:pk>/hand-in/", views.hand_in, name="hand_in"),
]
