from django.apps import AppConfig


class ReportsConfig(AppConfig):
    name = "reports"

    def ready(self) -> None:
        # The outbox names tasks, so every process must know them.
        from reports import tasks  # noqa: F401, PLC0415
