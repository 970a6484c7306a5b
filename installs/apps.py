from django.apps import AppConfig


class InstallsConfig(AppConfig):
    name = "installs"
