"""Changing one's mind behind the link of the plan, without an account."""

from django.urls import path

from . import withdraw_pages

urlpatterns = [path("<str:token>/withdraw/", withdraw_pages.by_link, name="plan-public-withdraw")]
