from django.apps import AppConfig


class ServiceConfig(AppConfig):
    """No records; it tells Django of the checks."""

    name = "config"

    def ready(self) -> None:
        from config import checks  # noqa: F401, PLC0415 they register themselves
