"""The fitting of a doorset walked through as a crew does it, on the pages of a phone, with what it
costs them: how often they save, and how often a page is loaded that they did not open."""

from collections.abc import Iterable
from typing import Any

from playwright.sync_api import FilePayload, Locator, Page, expect

from installs.models import Installation, PlanStep
from jobs.models import Visit
from tests import walker
from tests.pictures import picture_number

# Members whose fixings are recorded before a step is.
FIXED_BEFORE = {
    "jamb_fixings": ("left", "right"),
    "head_fixings": ("head",),
    "sill_fixings": ("sill",),
}


class Walk:
    def __init__(self, page: Page) -> None:
        self.page = page
        self.saves = self.opened = self.loaded = 0
        page.on("load", self._note_load)

    @property
    def reloads(self) -> int:
        """Pages that were loaded without anybody opening one."""
        return self.loaded - self.opened

    def _note_load(self, _page: Page) -> None:
        self.loaded += 1

    def open(self, address: str) -> None:
        self.opened += 1
        self.page.goto(address)

    def plan(self, visit: Visit) -> Installation:
        """From the page of today; it leads to the sheet of the fitting."""
        self.open("/today/")
        self.opened += 1
        self.press(self.page.get_by_role("button", name="Plan this fitting"))
        self.page.wait_for_url("**/fittings/**")
        return Installation.objects.get(visit=visit)

    def press(self, button: Locator) -> None:
        self.saves += 1
        button.click()

    def fit(self, fitting: Installation) -> None:
        steps = list(fitting.steps.exclude(phase="handover").order_by("number"))
        for phase in dict.fromkeys(step.phase for step in steps):
            self._phase(fitting, [step for step in steps if step.phase == phase])

    def _phase(self, fitting: Installation, steps: list[PlanStep]) -> None:
        """Steps are saved together up to one whose verdict is waited for, or that is not to be
        recorded before something else."""
        filled: list[PlanStep] = []
        sheet = f"/fittings/{fitting.pk}/phases/{steps[0].phase}/"
        self.open(sheet)
        for step in steps:
            if elsewhere := self._recorded_elsewhere(fitting, step):
                self._save_steps(filled)
                filled = []
                for record in elsewhere:
                    record()
                self.open(sheet)
            self._fill_in(step)
            filled.append(step)
            if "reading" in step.evidence or step.hold_point:
                self._save_steps(filled)
                filled = []
        self._save_steps(filled)

    def _recorded_elsewhere(self, fitting: Installation, step: PlanStep) -> list[Any]:
        base = f"/fittings/{fitting.pk}/"
        if members := FIXED_BEFORE.get(step.on_the_map):
            return [lambda m=member: self._fix(f"{base}members/{m}/") for member in members]
        if step.on_the_map == "blocks":
            return [lambda n=leaf.number: self._sash(base, n) for leaf in fitting.plan.leaves]
        ways = {
            "beads_off": lambda: self._take_beads_off(base),
            "gaps": lambda: self._read_gaps(base),
            "beads_back": lambda: self._put_beads_back(base),
            "gaps_after_glass": lambda: self._read_gaps(base),
        }
        return [ways[step.register]] if step.register in ways else []

    def _fix(self, address: str) -> None:
        self.open(address)
        self.press(self.page.get_by_role("button", name="are fixed as planned"))
        expect(self.page.get_by_text("not fixed yet")).to_have_count(0)

    def _take_beads_off(self, base: str) -> None:
        self.open(f"{base}beads/")
        for button in self.page.get_by_role("button", name="Fill in the numbers").all():
            button.click()
        self._save_sheet("Save these beads")
        expect(self.page.locator('[data-operation="take_bead_off"]')).to_have_count(0)

    def _put_beads_back(self, base: str) -> None:
        self.open(f"{base}beads/")
        for button in self.page.get_by_role("button", name="All of them are back").all():
            button.click()
        self._save_sheet("Save these beads")
        expect(self.page.locator('[data-operation="put_bead_back"]')).to_have_count(0)

    def _read_gaps(self, base: str) -> None:
        self.open(f"{base}gaps/")
        self._choose_instrument(self.page.locator("[data-shared-field=instrument]"))
        for field in self.page.locator('[name="head_gap"], [name="sill_gap"]').all():
            field.fill("4")
        self._save_sheet("Save these gaps")
        expect(self.page.get_by_text("All junctions of this round are read")).to_be_visible()

    def _sash(self, base: str, number: int) -> None:
        self.open(f"{base}sashes/{number}/")
        form = self.page.locator('form[data-operation="record_sash"]')
        form.locator("[name=blocks_set]").check()
        form.locator("[name=brace_set]").check()
        form.locator("[name=glass_marking]").fill(walker.SASH["glass_marking"])
        self.press(form.get_by_role("button"))
        expect(self.page.locator('form[data-operation="change_sash"]')).to_be_visible()

    def _save_sheet(self, name: str) -> None:
        self.press(self.page.get_by_role("button", name=name))

    def _save_steps(self, steps: Iterable[PlanStep]) -> None:
        if not steps:
            return
        self._save_sheet("Save these steps")
        for step in steps:
            expect(self._form(step)).to_have_count(0)

    def _form(self, step: PlanStep) -> Locator:
        of_step = self.page.locator(f'[name="step"][value="{step.pk}"]')
        return self.page.locator('form[data-operation="inspect_step"]').filter(has=of_step)

    def _fill_in(self, step: PlanStep) -> None:
        form, given = self._form(step), walker.evidence(step)
        for number, reading in enumerate(given.get("readings", [])):
            form.locator(f'[name="readings.{number}.value"]').fill(f"{reading.value:g}")
            self._choose_instrument(form.locator("[name=instrument]"))
        for name in given.get("checks", {}):
            form.locator(f'[name="checks.{name}"][value="true"]').check()
        if given.get("acknowledged"):
            form.locator('[name="acknowledged"][value="true"]').check()
        if "sealant_class" in given:
            form.locator("[name=sealant_class]").select_option(f"{given['sealant_class']}")
        for name in ("note", "lifted_with"):
            if name in given:
                form.locator(f"[name={name}]").fill(given[name])
        if "photo" in step.evidence:
            image = FilePayload(
                name="site.jpg", mimeType="image/jpeg", buffer=picture_number(step.number)
            )
            form.locator("[name=photo]").set_input_files(image)

    @staticmethod
    def _choose_instrument(choice: Locator) -> None:
        if not choice.input_value():
            choice.select_option(index=1)

    def hand_over(self, fitting: Installation) -> None:
        self.open(f"/jobs/{fitting.job.reference}/handover/")
        form = self.page.locator('form[data-operation="hand_over"]')
        form.locator("[name=demonstrated]").check()
        form.locator("[name=care_given]").check()
        form.locator('[name^="keys."]').fill("3")
        form.locator("[name=customer_name]").fill("Oona Quill")
        form.locator("[name=unsigned_because]").fill("on paper")
        self.press(form.get_by_role("button", name="Hand over"))
        expect(self.page.get_by_text("Taken over by")).to_be_visible()
