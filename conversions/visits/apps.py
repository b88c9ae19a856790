from django.apps import AppConfig


class VisitsConfig(AppConfig):
    name = "conversions.visits"
