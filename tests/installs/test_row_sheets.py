"""The sheets of a fitting: many things on one page, each recorded by itself, without a script."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from installs.models import Bead, Fixing, JunctionGap, SitePhoto
from installs.verdicts import verdict_of_gap
from tests import factories
from tests.installs.pages import fill_in, form_of, forms_of
from tests.pictures import picture

pytestmark = pytest.mark.django_db


@pytest.fixture
def browser(client, fitter):
    client.force_login(fitter)
    return client


@pytest.fixture
def sheet(installation):
    return f"/fittings/{installation.pk}/"


@pytest.fixture
def gauge(office):
    return factories.instrument(
        office, name="Gap gauge", kind="gauge", expanded_uncertainty=0.2, coverage_factor=2
    )


# -- gaps -------------------------------------------------------------------------------------


@pytest.fixture
def hanging(fitter, installation, gauge):
    return factories.fitted(fitter, installation, until="running_gear")


def gaps_on(browser, sheet) -> list[tuple[str, str, str]]:
    """Junction, head and sill of each row, as they are filled in."""
    return [
        (form.fields["junction"], form.fields.get("head_gap", ""), form.fields.get("sill_gap", ""))
        for form in forms_of(browser, f"{sheet}gaps/")
        if form.operation == "record_gap"
    ]


def read_gaps(browser, sheet, junction, **typed):
    address = f"{sheet}gaps/"
    form = form_of(browser, address, "record_gap", junction=str(junction))
    return fill_in(browser, address, form, typed)


def test_all_junctions_are_on_one_sheet_from_left_to_right(browser, hanging, sheet):
    assert gaps_on(browser, sheet) == [(str(number), "", "") for number in range(6)]


def test_a_junction_that_was_read_shows_its_gaps_and_is_corrected_there(
    browser, hanging, sheet, gauge
):
    read_gaps(browser, sheet, 2, head_gap="4,5", sill_gap="4.0", instrument=str(gauge.pk))
    assert gaps_on(browser, sheet)[2] == ("2", "4.5", "4")
    page = read_gaps(browser, sheet, 2, head_gap="4.1").content.decode()
    assert "4.1 and 4 mm, read at" in page
    assert "5 junctions to read in this round" in page
    newest = JunctionGap.objects.order_by("created_at").values_list("head_gap", "sill_gap")
    assert list(newest) == [(4.5, 4), (4.1, 4)]


def test_half_a_row_is_refused_at_its_field(browser, hanging, sheet, gauge):
    answer = read_gaps(browser, sheet, 2, head_gap="4", instrument=str(gauge.pk))
    assert answer.status_code == 400
    assert JunctionGap.objects.count() == 0
    page = answer.content.decode()
    row = page[page.index('id="2"') : page.index('id="3"')]
    assert 'name="sill_gap"' in row
    assert "This field is required" in row


def test_work_on_a_carrier_begins_a_new_round(browser, fitter, hanging, sheet, gauge):
    for junction, head in ((0, 4), (1, 4.9), (2, 5.8), (3, 4.9), (4, 4), (5, 4)):
        low = {"head_gap": head, "sill_gap": 8 - head}
        factories.gap(fitter, hanging, junction, instrument=gauge, **low)
    assert all(head for _, head, _ in gaps_on(browser, sheet))
    address = f"{sheet}gaps/"
    form = form_of(browser, address, "record_lift", junction="2")
    page = fill_in(browser, address, form, {}).content.decode()
    assert "Read the gaps again now" in page
    assert gaps_on(browser, sheet) == [(str(number), "", "") for number in range(6)]


def test_the_last_uneven_gap_of_a_round_says_what_to_do_and_none_before_it(fitter, hanging, gauge):
    low = {2: 0.9, 3: 1.8, 4: 0.9}
    acts = []
    for junction in (0, 1, 4, 5, 2, 3):
        off = low.get(junction, 0)
        values = {"head_gap": 4 + off, "sill_gap": 4 - off, "instrument": gauge}
        gap = factories.gap(fitter, hanging, junction, **values)
        acts.append(verdict_of_gap(gap).act)
    assert acts[:-1] == [""] * 5
    assert "read again" in acts[-1]


# -- beads ------------------------------------------------------------------------------------


def beads_on(browser, sheet, operation) -> list[tuple[str, str]]:
    forms = [f for f in forms_of(browser, f"{sheet}beads/") if f.operation == operation]
    # Those for a phone without a network change a record that is not there yet.
    now = [form for form in forms if form.attributes["data-base-version"] != "0"]
    return [(form.fields["leaf"], form.fields["side"]) for form in now]


SIDES = ["top", "bottom", "left", "right"]


def test_beads_come_off_and_go_back_sash_by_sash_in_their_order(
    browser, fitter, installation, sheet
):
    factories.fitted(fitter, installation, until="beads_off")
    every = [(str(leaf), side) for leaf in range(1, 6) for side in SIDES]
    assert beads_on(browser, sheet, "take_bead_off") == every
    factories.bead_off(fitter, installation, 1, "top")
    assert beads_on(browser, sheet, "take_bead_off") == every[1:]
    assert beads_on(browser, sheet, "put_bead_back") == every[:1]


def test_numbers_to_write_on_beads_are_suggested_and_all_differ(
    browser, fitter, installation, sheet
):
    page = browser.get(f"{sheet}beads/").content.decode()
    suggested = [part.split('"')[0] for part in page.split('data-suggested="')[1:]]
    assert suggested[:5] == ["11", "12", "13", "14", "21"]
    assert len(set(suggested)) == len(suggested) == 20


def test_a_bead_out_of_turn_is_refused_in_its_row(browser, fitter, installation, sheet):
    factories.fitted(fitter, installation, until="beads_back")
    address = f"{sheet}beads/"
    out_of_turn = form_of(browser, address, "put_bead_back", leaf="1", side="left")
    answer = fill_in(browser, address, out_of_turn, {})
    assert answer.status_code == 400
    assert not Bead.objects.exclude(put_back_at=None).exists()
    for side in SIDES:
        in_turn = form_of(browser, address, "put_bead_back", leaf="1", side=side)
        assert fill_in(browser, address, in_turn, {}).status_code == 200
    back = Bead.objects.exclude(put_back_at=None).order_by("put_back_at")
    assert [bead.side for bead in back] == SIDES


# -- fixings ----------------------------------------------------------------------------------


def test_a_member_is_offered_to_be_fixed_as_planned_place_by_place_and_as_a_whole(
    browser, fitter, installation, sheet
):
    factories.fitted(fitter, installation, until="fix_jambs")
    address = f"{sheet}members/left/"
    assert "All 4 that are left are fixed as planned" in browser.get(address).content.decode()
    form = form_of(browser, address, "record_fixing", position="199.0")
    fill_in(browser, address, form, {})
    assert Fixing.objects.get().position == 199
    assert "All 3 that are left are fixed as planned" in browser.get(address).content.decode()


# -- steps ------------------------------------------------------------------------------------


def test_the_steps_of_a_phase_are_on_one_sheet_and_each_is_recorded_by_itself(
    browser, fitter, installation, sheet, step
):
    factories.fitted(fitter, installation, until="mark_fixings")
    address = f"{sheet}phases/fixing/"
    of_phase = [str(one.pk) for one in installation.steps.filter(phase="fixing").order_by("number")]
    forms = [form for form in forms_of(browser, address) if form.operation == "inspect_step"]
    assert [form.fields["step"] for form in forms] == of_phase
    answer = fill_in(browser, address, forms[0], {"acknowledged": "true"})
    assert "is recorded: in order" in answer.content.decode()
    left = [form.fields["step"] for form in forms_of(browser, address) if form.operation]
    assert left == of_phase[1:]


def test_what_a_phase_waits_for_is_said_above_it(browser, installation, sheet):
    page = browser.get(f"{sheet}phases/glazing/").content.decode()
    assert "Do this first" in page
    assert browser.get(f"{sheet}phases/handover/").status_code == 404
    assert browser.get(f"{sheet}phases/painting/").status_code == 404


def test_a_photo_goes_with_its_step_and_once_however_often_it_is_sent(
    browser, installation, sheet, step
):
    address = f"{sheet}phases/prepare/"
    first = step("protect_room")
    form = form_of(browser, address, "inspect_step", step=str(first.pk))
    for _ in range(2):
        image = SimpleUploadedFile("room.jpg", picture(), content_type="image/jpeg")
        fill_in(browser, address, form, {"acknowledged": "true", "photo": image})
    assert SitePhoto.objects.get().step == first
    assert first.inspections.count() == 1


def test_a_photo_that_cannot_be_read_is_refused_and_says_so(browser, installation, sheet, step):
    address = f"{sheet}phases/prepare/"
    form = form_of(browser, address, "inspect_step", step=str(step("protect_room").pk))
    text = SimpleUploadedFile("room.jpg", b"no picture", content_type="image/jpeg")
    answer = fill_in(browser, address, form, {"acknowledged": "true", "photo": text})
    assert answer.status_code == 400
    assert "not a picture that can be read" in answer.content.decode()
    assert not SitePhoto.objects.exists()
    assert not step("protect_room").inspections.exists()


def test_every_sheet_is_found_from_the_fitting_sheet(browser, installation, sheet):
    page = browser.get(sheet).content.decode()
    for part in ("gaps/", "beads/", "phases/prepare/", "phases/finishing/", "members/head/"):
        assert f'href="{sheet}{part}"' in page


# -- places -----------------------------------------------------------------------------------


def test_every_part_of_the_map_chooses_its_place_for_a_defect(browser, installation, sheet):
    page = browser.get(f"{sheet}defects/").content.decode()
    for place in ("sash+2", "junction+5", "head", "left+199"):
        assert f'href="{sheet}defects/?place={place}"' in page
    address = f"{sheet}defects/?place=left+199"
    form = form_of(browser, address, "report_defect")
    assert form.fields["place"] == "left 199"
    typed = {"description": "Screw head torn off", "severity": "minor"}
    assert fill_in(browser, address, form, typed).status_code == 200
    assert installation.defects.get().place_label == "left jamb at 199 mm"


def test_the_step_that_levels_the_sill_lists_its_packers(browser, installation, sheet, step):
    page = browser.get(f"{sheet}steps/{step('sill_level').number}/").content.decode()
    sill = installation.plan.fixing_layout.member("sill")
    places = len(sill.fixings) + len(sill.supports_without_fixing)
    assert f"Sill: packers at {places} places" in page
    plumb = browser.get(f"{sheet}steps/{step('plumb').number}/").content.decode()
    assert "packers at" not in plumb


def test_what_is_counted_and_what_is_less_than_what_is_said_in_words(browser, sheet, step):
    keys = browser.get(f"{sheet}steps/{step('keys').number}/").content.decode()
    assert "<strong>at least 1 keys</strong> counted with the customer" in keys
    square = browser.get(f"{sheet}steps/{step('diagonals').number}/").content.decode()
    assert "diagonal difference, rising less falling" in square


def test_fixings_have_the_numbers_of_their_drawing(browser, installation, sheet):
    page = browser.get(f"{sheet}members/left/").content.decode()
    assert '<strong>1</strong> <span class="reading">199 mm</span>' in page


# -- instruments ------------------------------------------------------------------------------


def instrument_of(browser, address) -> str:
    return form_of(browser, address, "inspect_step").fields.get("instrument", "")


def test_the_newest_instrument_that_suits_is_chosen_though_another_was_used_since(
    browser, fitter, installation, sheet, step
):
    factories.fitted(fitter, installation, until="plumb")
    level = factories.instrument(
        fitter, name="Level", kind="level", expanded_uncertainty=0.5, coverage_factor=2
    )
    plumb, square = (f"{sheet}steps/{step(name).number}/" for name in ("plumb", "diagonals"))
    tape = instrument_of(browser, square)
    assert tape
    form = form_of(browser, plumb, "inspect_step")
    readings = {name: "0" for name in form.sent_as if name.endswith(".value")}
    fill_in(browser, plumb, form, readings | {"instrument": str(level.pk)})
    assert instrument_of(browser, plumb) == str(level.pk)
    # No level reads a diagonal.
    assert instrument_of(browser, square) == tape


def test_each_instrument_says_until_when_it_is_in_calibration(browser, installation, sheet, gauge):
    page = browser.get(f"{sheet}gaps/").content.decode()
    assert f'data-until="{gauge.calibration_due.isoformat()}"' in page
    assert 'data-remembered="gauge-tape"' in page
    assert f'data-visit="{installation.visit_id}"' in page
