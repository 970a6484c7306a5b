"""Plans an installation in the empty database of the environment; its id and a fitter's token are
printed as JSON.
"""

import json
import os

import django
from django.core.management import call_command


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    django.setup()
    # Models exist only once Django is set up.
    from jobs.services.people import issue_token  # noqa: PLC0415
    from tests import factories  # noqa: PLC0415

    call_command("migrate", verbosity=0)
    office, fitter = factories.person("office"), factories.person("fitter")
    installation = factories.installation(office, fitter, factories.job(office))
    token, _ = issue_token(person=fitter, role="fitter")
    print(json.dumps({"installation": str(installation.pk), "token": token}))


if __name__ == "__main__":
    main()
