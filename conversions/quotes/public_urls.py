"""The household's plan behind its link, without an account."""

from django.urls import path

from . import public

urlpatterns = [
    path("<str:token>/", public.plan, name="plan-public"),
    path("<str:token>/plan.pdf", public.paper, name="plan-public-paper"),
]
