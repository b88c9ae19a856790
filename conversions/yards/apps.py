from django.apps import AppConfig


class YardsConfig(AppConfig):
    name = "conversions.yards"
