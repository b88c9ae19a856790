from django.apps import AppConfig


class GroupsConfig(AppConfig):
    name = "conversions.groups"
