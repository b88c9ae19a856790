from django.apps import AppConfig


class CareConfig(AppConfig):
    name = "conversions.care"
