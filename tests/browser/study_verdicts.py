"""Measures how long a fitter without a network waits for a verdict, on a slow processor.

    python -m tests.browser.study_verdicts

Prints the time from the tap to the verdict that is painted on a processor four times slower, with
the queue growing from nothing on; and the size of what the phone keeps for it, and the server's
time for that. Figures are those of a machine that does nothing else meanwhile.
"""

import gzip
import json
import os
import unittest
from statistics import median
from time import process_time
from typing import Any

import django
from django.conf import settings
from django.test.utils import get_runner, override_settings, setup_test_environment

SLOWER = 4
ROUNDS = 40
# From the tap on the button to the frame in which the verdict is painted, ms.
TAP = """() => new Promise((resolve) => {
  const button = document.querySelector("form[data-operation=inspect_step] .actions button");
  const begun = performance.now();
  new MutationObserver((_, observer) => {
    if (!document.querySelector(".outcome-here")) return;
    observer.disconnect();
    requestAnimationFrame(() => setTimeout(() => resolve(performance.now() - begun)));
  }).observe(document.body, { childList: true, subtree: true });
  button.click();
})"""


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    django.setup()
    setup_test_environment()
    runner = get_runner(settings)(verbosity=0, interactive=False)
    databases = runner.setup_databases()
    try:
        result = unittest.TextTestRunner(verbosity=0).run(_study())
    finally:
        runner.teardown_databases(databases)
    raise SystemExit(not result.wasSuccessful())


def _study() -> unittest.TestSuite:
    # The server can only be set up once Django is.
    from django.contrib.staticfiles.testing import StaticLiveServerTestCase  # noqa: PLC0415

    @override_settings(PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"])
    class Study(StaticLiveServerTestCase):
        def runTest(self) -> None:  # noqa: N802 unittest names it
            _measure(self.live_server_url)

    return unittest.TestSuite([Study()])


def _measure(address: str) -> None:
    from playwright.sync_api import sync_playwright  # noqa: PLC0415

    from tests import factories  # noqa: PLC0415
    from tests.browser.conftest import CHROMIUM, PHONE, QUIET, sign_in  # noqa: PLC0415

    office, fitter = factories.person("office"), factories.person("fitter")
    fitting = factories.installation(office, fitter, factories.job(office))
    factories.fitted(fitter, fitting, until="bow")
    _measure_json(fitter, fitting)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=QUIET)
        context = browser.new_context(base_url=address, viewport=PHONE)
        sign_in(context, fitter)
        page = context.new_page()
        step = fitting.steps.get(code="bow")
        _save(page, f"/fittings/{fitting.pk}/", f"steps/{step.number}/")
        context.set_offline(True)
        context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        page.reload()
        page.get_by_label("Read with").select_option(index=1)
        times = [_time_of_a_tap(page) for _ in range(ROUNDS)]
        browser.close()
    parts = (("first 10", times[:10]), ("last 10", times[-10:]), (f"all {ROUNDS}", times))
    for name, part in parts:
        figures = f"best {min(part):.0f} ms, median {median(part):.0f} ms, worst {max(part):.0f} ms"
        print(f"tap to verdict, {name}: {figures}")


def _save(page: Any, fitting: str, step: str) -> None:
    """The page of a step with what it compares readings with; all pages would take minutes."""
    page.goto(fitting + step)
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.reload()
    for name in ("limits.json", "state.json"):
        page.evaluate("async (address) => { await fetch(address); }", fitting + name)
    page.wait_for_timeout(2000)


def _time_of_a_tap(page: Any) -> float:
    """Of one round of readings, in ms."""
    for field in page.locator("form[data-operation=inspect_step] input[data-as=number]").all():
        field.fill("1")
    page.get_by_label("Read with").select_option(index=1)
    took: float = page.evaluate(TAP)
    page.locator("form[inert]").wait_for(state="detached")
    return took


def _measure_json(fitter: Any, fitting: Any) -> None:
    from installs.models import Installation  # noqa: PLC0415
    from installs.phone.limits import limits_for_phone  # noqa: PLC0415
    from installs.phone.sheet_state import sheet_state  # noqa: PLC0415
    from installs.state import InstallationState  # noqa: PLC0415

    def state() -> Any:
        return sheet_state(fitter, InstallationState(Installation.objects.get(pk=fitting.pk)))

    for name, make in (("limits", lambda: limits_for_phone(fitter, fitting)), ("state", state)):
        times = []
        for _ in range(5):
            begun = process_time()
            made = make()
            times.append(1000 * (process_time() - begun))
        raw = json.dumps(made).encode()
        sizes = f"{len(raw) / 1000:.1f} kB, {len(gzip.compress(raw)) / 1000:.1f} kB compressed"
        took = f"first {times[0]:.0f} ms, then {median(times[1:]):.0f} ms of processor"
        print(f"{name}: {sizes}; {took}")


if __name__ == "__main__":
    main()
