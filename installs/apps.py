from django.apps import AppConfig


class InstallsConfig(AppConfig):
    name = "installs"

    def ready(self) -> None:
        # The floor that books crews cannot ask this one.
        from installs.services.crew_needs import lift_needs  # noqa: PLC0415
        from jobs import crew_needs  # noqa: PLC0415

        crew_needs.answer_with(lift_needs)
