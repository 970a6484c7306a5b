from django.apps import AppConfig


class UpkeepConfig(AppConfig):
    name = "upkeep"

    def ready(self) -> None:
        from upkeep import outside_the_journal  # noqa: F401, PLC0415 it registers its check
