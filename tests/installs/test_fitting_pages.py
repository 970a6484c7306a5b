"""The fitting sheet, and the pages on which its steps and parts are recorded, without a script."""

import json
import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext

from installs.models import Inspection, SitePhoto
from tests import factories
from tests.installs.pages import fill_in, form_of, forms_of, record
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
def at(sheet, step):
    """The address of a step by its code."""
    return lambda code: f"{sheet}steps/{step(code).number}/"


def gauge(office):
    return factories.instrument(
        office, name="Gap gauge", kind="gauge", expanded_uncertainty=0.2, coverage_factor=2
    )


def shown(page: str) -> str:
    """Without the texts that wait for a script."""
    return re.sub(r"<script.*?</script>", "", page, flags=re.DOTALL)


def names_on(page: str) -> list[str]:
    return re.findall(r'<a href="[^"]+" aria-label="([^"]+)"', page)


# -- the sheet --------------------------------------------------------------------------------


def test_every_part_of_the_doorset_is_a_link_that_names_its_state(
    browser, fitter, installation, sheet
):
    factories.fitted(fitter, installation, until="fix_jambs")
    factories.fixing(fitter, installation, member="left", position=199)
    names = names_on(browser.get(sheet).content.decode())
    assert [name for name in names if name.startswith("Sash")] == [
        f"Sash {n}: nothing recorded yet, 4 of its beads off" for n in range(1, 6)
    ]
    assert sum(name.startswith("Junction") for name in names) == 6
    assert "Left jamb: 1 fixings made, 4 planned" in names
    assert "Fixing at 199 mm, left jamb: fixed" in names
    assert "Fixing at 766 mm, left jamb: not fixed yet" in names
    assert len(names) == 5 + 6 + 4 + installation_fixings(installation)


def installation_fixings(installation) -> int:
    return sum(len(m.positions) for m in installation.plan.fixing_layout.members)


def test_every_link_of_the_map_leads_to_a_page(browser, installation, sheet):
    page = browser.get(sheet).content.decode()
    addresses = set(re.findall(r'<a href="([^"#]+)[^"]*" aria-label', page))
    assert len(addresses) == 5 + 6 + 4
    assert {browser.get(address).status_code for address in addresses} == {200}


def test_the_next_step_is_open_with_what_it_asks_for(browser, fitter, installation, sheet):
    factories.fitted(fitter, installation, until="diagonals")
    page = browser.get(sheet).content.decode()
    following = page[page.index('id="next"') :]
    assert "Frame square" in following[:600]
    assert "within ± 2 mm" in following[:1200]
    assert "Record step 10" in following


def test_a_closed_gate_says_what_the_next_step_waits_for(browser, fitter, installation, sheet):
    """All fixings are there, but one of them a hand's breadth off its place."""
    factories.fitted(fitter, installation, until="run_leaves")
    assert "Do this first" not in shown(browser.get(sheet).content.decode())
    installation.fixings.filter(member="left", position=766).update(position=900)
    page = browser.get(sheet).content.decode()
    assert "Do this first" in page
    assert "Fix the left jamb at 766 mm" in page


def test_the_sheet_asks_as_often_however_much_is_recorded(
    browser, fitter, installation, sheet, django_assert_num_queries
):
    factories.fitted(fitter, installation, until="fix_jambs")
    with CaptureQueriesContext(connection) as before:
        browser.get(sheet)
    factories.done_beside(fitter, installation.steps.get(code="clear_height"))
    with django_assert_num_queries(len(before)):
        browser.get(sheet)


def test_a_fitting_of_somebody_else_is_not_there(client, sheet):
    client.force_login(factories.person("fitter"))
    assert client.get(sheet).status_code == 404


def test_a_surveyor_is_told_that_the_sheet_is_for_others(client, sheet):
    client.force_login(factories.person("surveyor"))
    assert client.get(sheet).status_code == 403


# -- steps ------------------------------------------------------------------------------------


def test_readings_are_judged_with_their_probability_and_uncertainty(
    browser, office, fitter, installation, at
):
    factories.fitted(fitter, installation, until="diagonals")
    tape = factories.instrument(office)
    typed = {"readings__0__value": "4160.5", "readings__1__value": "4160"}
    page = record(browser, at("diagonals"), "inspect_step", instrument=str(tape.pk), **typed)
    told = page.content.decode()
    assert "In order" in told
    assert "Standard uncertainty" in told
    assert "with a probability of" in told
    made = Inspection.objects.get(step__code="diagonals")
    assert {r.place: r.measured for r in made.readings.all()} == {
        "diagonal_difference": {"rising": 4160.5, "falling": 4160.0}
    }


def test_a_doubtful_reading_says_what_would_decide_it(browser, office, fitter, installation, at):
    factories.fitted(fitter, installation, until="diagonals")
    tape = factories.instrument(office)
    typed = {"readings__0__value": "4161.7", "readings__1__value": "4160"}
    page = record(browser, at("diagonals"), "inspect_step", instrument=str(tape.pk), **typed)
    told = page.content.decode()
    assert "Not decided" in told
    assert "would decide it as it is" in told


def test_a_reading_in_metres_is_refused_beside_its_field_and_stays(
    browser, office, fitter, installation, at
):
    factories.fitted(fitter, installation, until="diagonals")
    tape = factories.instrument(office)
    typed = {"readings__0__value": "4.16", "readings__1__value": "4160"}
    page = record(browser, at("diagonals"), "inspect_step", instrument=str(tape.pk), **typed)
    assert page.status_code == 400
    told = page.content.decode()
    assert "looks like metres" in told
    assert 'value="4.16"' in told
    assert not Inspection.objects.filter(step__code="diagonals").exists()


def test_every_check_wants_an_answer_and_a_no_wants_a_reason(browser, fitter, installation, at):
    factories.fitted(fitter, installation, until="lift_in")
    address = at("lift_in")
    page = record(browser, address, "inspect_step", checks__team="true", checks__way="false")
    assert "choose one: in order, or not in order" in page.content.decode()
    in_order = dict.fromkeys(("team", "grip", "tilt", "held"), "true")
    answers = {f"checks__{name}": said for name, said in (in_order | {"way": "false"}).items()}
    page = record(browser, address, "inspect_step", **answers)
    assert "say what is not in order" in page.content.decode()
    page = record(browser, address, "inspect_step", note="the path is wet", **answers)
    assert "a defect is open" in page.content.decode()
    assert installation.defects.open().count() == 1


def test_a_step_behind_a_hold_point_names_it(browser, at):
    page = record(
        browser,
        at("damp_proof_course"),
        "inspect_step",
        checks__under_sill="true",
        checks__end_caps="true",
    )
    assert page.status_code == 400
    assert "do and record step 2" in page.content.decode().lower()


def test_pressing_twice_records_once(browser, at):
    address = at("protect_room")
    form = form_of(browser, address, "inspect_step")
    for _ in range(2):
        assert fill_in(browser, address, form, {"acknowledged": "true"}).status_code == 200
    assert Inspection.objects.count() == 1


def test_what_was_posted_and_is_sent_again_by_the_queue_is_stored_once(browser, at, queue, step):
    address = at("protect_room")
    form = form_of(browser, address, "inspect_step")
    fill_in(browser, address, form, {"acknowledged": "true"})
    body = {"step": form.fields["step"], "acknowledged": True}
    queue.add(form.operation, form.attributes["data-record"], **body)
    sent = browser.post(
        "/api/v1/sync/", {"operations": queue.operations}, content_type="application/json"
    )
    assert [one["result"] for one in sent.json()["results"]] == ["already_applied"]
    assert Inspection.objects.count() == 1


def test_the_seal_asks_for_the_class_of_the_sealant(browser, fitter, installation, at):
    factories.fitted(fitter, installation, until="seal")
    read = {"surface_temperature": "14", "air_temperature": "15", "relative_humidity": "60"}
    page = record(
        browser, at("seal"), "inspect_step", acknowledged="true", sealant_class="25", **read
    )
    assert "dew point 7.3 C" in page.content.decode()
    assert "Sealant of class 25 %" in page.content.decode()


def test_a_photo_of_a_step_is_kept_and_shown(browser, at, step):
    address = at("protect_room")
    form = next(f for f in forms_of(browser, address) if "data-photos" in f.attributes)
    image = SimpleUploadedFile("site.jpg", picture(), "image/jpeg")
    page = browser.post(address, form.fields | {"image": image, "caption": "Floor"}, follow=True)
    photo = SitePhoto.objects.get()
    assert (photo.step, photo.caption) == (step("protect_room"), "Floor")
    assert f"/api/v1/site-photos/{photo.pk}/thumbnail/" in page.content.decode()
    assert browser.get(f"/api/v1/site-photos/{photo.pk}/thumbnail/").status_code == 200


def test_a_file_that_is_no_picture_is_refused_beside_its_field(browser, at):
    address = at("protect_room")
    form = next(f for f in forms_of(browser, address) if "data-photos" in f.attributes)
    image = SimpleUploadedFile("site.jpg", b"<svg onload=alert(1)>", "image/jpeg")
    page = browser.post(address, form.fields | {"image": image})
    assert page.status_code == 400
    assert "not a picture that can be read" in page.content.decode()


# -- parts ------------------------------------------------------------------------------------


def test_who_fixes_a_jamb_sees_which_screw_goes_where(browser, fitter, installation, sheet, at):
    """60 mm of profile, the packers of the place and 50 mm into brick (the plan's own kit)."""
    [kit] = {screws for screws in installation.plan.kit.screws if screws.member == "left"}
    wanted = f"{kit.length:g} mm ({kit.least:.0f} mm wanted"
    step = browser.get(at("fix_jambs")).content.decode()
    assert f"{kit.count} x Left jamb: screws of {wanted}" in step
    assert step.count("Right jamb: screws of") == 1
    member = browser.get(f"{sheet}members/left/").content.decode()
    assert member.count(f"Screw: {wanted})") == kit.count
    assert "screws of" not in browser.get(at("protect_room")).content.decode()


def test_uneven_gaps_say_at_once_which_carrier_to_turn(
    browser, office, fitter, installation, sheet
):
    factories.fitted(fitter, installation, until="running_gear")
    for junction, low in ((0, 0), (1, 0.9), (3, 0.9), (4, 0), (5, 0)):
        gaps = {"head_gap": 4 + low, "sill_gap": 4 - low}
        factories.gap(fitter, installation, junction, instrument=gauge(office), **gaps)
    address = f"{sheet}junctions/2/"
    typed = {"head_gap": "5.8", "sill_gap": "2.2", "instrument": str(gauge(office).pk)}
    told = record(browser, address, "record_gap", **typed).content.decode()
    assert "gaps not even" in told
    assert "lift the carrier at junction 2 by 1.8 mm (turns: 1.8)" in told
    assert re.search(r'<span class="large">1\.8 turns</span>', told)
    assert "▲" in told


def test_a_head_that_is_low_is_told_as_an_act_and_no_carrier_is_turned(
    browser, office, fitter, installation, sheet
):
    factories.fitted(fitter, installation, until="running_gear")
    for junction in (0, 1, 2, 4, 5):
        factories.gap(fitter, installation, junction, instrument=gauge(office))
    address = f"{sheet}junctions/3/"
    typed = {"head_gap": "2", "sill_gap": "4", "instrument": str(gauge(office).pk)}
    told = record(browser, address, "record_gap", **typed).content.decode()
    assert "Do not turn a carrier: the head is low at junction 3. Take 2 mm of packers out" in told
    assert 'class="turns"' not in told


def test_the_temperature_is_asked_for_where_the_chain_closes_and_nowhere_else(
    browser, office, fitter, installation, sheet
):
    factories.fitted(fitter, installation, until="running_gear")
    form = form_of(browser, f"{sheet}junctions/5/", "record_gap")
    assert "temperature" in form.fields
    assert "temperature" not in form_of(browser, f"{sheet}junctions/4/", "record_gap").fields
    gaps = {"head_gap": "4", "sill_gap": "4", "instrument": str(gauge(office).pk)}
    told = fill_in(browser, f"{sheet}junctions/5/", form, gaps | {"temperature": "30"})
    assert "At 30 C set the closing gap to 3.2 mm" in told.content.decode()


def test_turns_are_recorded_with_what_was_advised_in_the_field(
    browser, office, fitter, installation, sheet
):
    factories.fitted(fitter, installation, until="running_gear")
    for junction, low in enumerate([0, 0.7, 1.4, 0.7, 0, 0]):
        factories.gap(fitter, installation, junction, head_gap=4 + low, sill_gap=4 - low)
    address = f"{sheet}junctions/2/"
    form = form_of(browser, address, "record_lift")
    advised = float(form.fields["turns"])
    assert advised > 0
    fill_in(browser, address, form, {})
    lift = installation.lifts.get()
    assert (lift.junction, lift.chain, lift.turns) == (2, "left", advised)


def test_a_junction_without_a_carrier_takes_no_turns(browser, fitter, installation, sheet):
    operations = [form.operation for form in forms_of(browser, f"{sheet}junctions/1/")]
    assert "record_lift" not in operations
    assert "record_gap" in operations


@pytest.mark.parametrize(
    "part", ["junctions/6/", "sashes/0/", "sashes/6/", "members/roof/", "steps/99/"]
)
def test_a_part_that_the_doorset_does_not_have_is_not_there(browser, sheet, part):
    assert browser.get(f"{sheet}{part}").status_code == 404


def test_a_sash_is_begun_and_completed_and_told_how_far_it_is_out_of_square(
    browser, fitter, installation, sheet
):
    factories.fitted(fitter, installation, until="toe_and_heel")
    address = f"{sheet}sashes/1/"
    typed = {"rising_diagonal": "2091", "falling_diagonal": "2087", "blocks_set": "on"}
    told = record(browser, address, "record_sash", **typed).content.decode()
    assert "Out of square" in told
    assert re.search(r'<span class="large">\d+\.\d+ mm</span>', told)
    page = record(browser, address, "change_sash", brace_set="on", glass_marking="1C2")
    assert "Not the glass that was ordered, as far as its marking shows." in page.content.decode()
    good = {"brace_set": "on", "glass_marking": "EN 12150-1 1C2, 1C2", "rising_diagonal": "2088"}
    record(browser, address, "change_sash", **good)
    sash = installation.sashes.get()
    assert sash.is_complete
    assert (sash.rising_diagonal, sash.version) == (2088, 3)


def test_a_sash_that_somebody_else_changed_meanwhile_is_not_overwritten(
    browser, fitter, installation, sheet
):
    factories.fitted(fitter, installation, until="toe_and_heel")
    address = f"{sheet}sashes/1/"
    record(browser, address, "record_sash", blocks_set="on")
    form = form_of(browser, address, "change_sash")
    fill_in(browser, address, form, {"glass_marking": "theirs"})
    page = fill_in(browser, address, form, {"glass_marking": "mine"})
    assert page.status_code == 400
    assert "Somebody else has changed this" in page.content.decode()
    assert installation.sashes.get().glass_marking == "theirs"


def test_beads_come_off_with_a_number_and_go_back_in_their_order(
    browser, fitter, installation, sheet
):
    address = f"{sheet}sashes/3/"
    factories.fitted(fitter, installation, until="beads_off")
    for side in ("top", "bottom", "left", "right"):
        form = form_of(browser, address, "take_bead_off", side=side)
        fill_in(browser, address, form, {"number": f"3{side[0]}"})
    assert installation.beads.count() == 4
    page = browser.get(address).content.decode()
    assert "Bead 3t is back: top" in page


def test_a_fixing_as_planned_takes_one_press(browser, fitter, installation, sheet):
    factories.fitted(fitter, installation, until="fix_jambs")
    address = f"{sheet}members/left/"
    form = form_of(browser, address, "record_fixing", position="199.0")
    fill_in(browser, address, form, {})
    fixing = installation.fixings.get()
    assert (fixing.position, fixing.kind, fixing.packers) == (199, "frame_screw", [10.0, 1.0])
    states = shown(browser.get(address).content.decode())
    assert states.count("not fixed yet") == 3


def test_a_fixing_elsewhere_is_recorded_with_its_own_packers(browser, fitter, installation, sheet):
    factories.fitted(fitter, installation, until="fix_jambs")
    factories.done_beside(fitter, installation.steps.get(code="clear_height"))
    address = f"{sheet}members/left/"
    form = next(f for f in forms_of(browser, address) if "packers.3" in f.sent_as)
    typed = {"position": "400", "kind": "strap", "packers.0": "3", "packers.2": "1.5"}
    page = fill_in(browser, address, form, typed)
    assert installation.fixings.get(position=400).packers == [3.0, 1.5]
    assert "fixed, not planned here" in page.content.decode()


def test_a_fixing_beyond_the_end_of_its_member_is_refused_beside_its_place(
    browser, fitter, installation, sheet
):
    factories.fitted(fitter, installation, until="fix_jambs")
    address = f"{sheet}members/left/"
    form = next(f for f in forms_of(browser, address) if "packers.3" in f.sent_as)
    page = fill_in(browser, address, form, {"position": "2500", "kind": "strap"})
    assert page.status_code == 400
    assert "the left jamb ends at 2100 mm" in page.content.decode()


# -- defects ----------------------------------------------------------------------------------


def test_a_defect_is_reported_put_right_and_closed_by_another_look(browser, installation, sheet):
    typed = {"description": "Scratch on leaf 2", "severity": "minor"}
    record(browser, f"{sheet}defects/", "report_defect", **typed)
    defect = installation.defects.get()
    address = f"{sheet}defects/{defect.pk}/"
    record(browser, address, "put_defect_right", how="polished out")
    page = record(browser, address, "reinspect_defect", accepted="false")
    assert "say what is still not in order" in page.content.decode()
    record(browser, address, "reinspect_defect", accepted="true")
    defect.refresh_from_db()
    assert defect.closed_at
    assert not [f for f in forms_of(browser, address) if f.operation]


def test_a_critical_defect_is_not_closed_by_who_put_it_right(browser, installation, sheet):
    typed = {"description": "The sash can fall", "severity": "critical"}
    record(browser, f"{sheet}defects/", "report_defect", **typed)
    address = f"{sheet}defects/{installation.defects.get().pk}/"
    record(browser, address, "put_defect_right", how="propped")
    page = record(browser, address, "reinspect_defect", accepted="true")
    assert page.status_code == 400
    assert "by somebody else" in page.content.decode()


# -- handover ---------------------------------------------------------------------------------


def test_a_job_is_handed_over_with_keys_and_a_signature(browser, fitter, installation):
    factories.fitted(fitter, installation)
    address = f"/jobs/{installation.job.reference}/handover/"
    form = form_of(browser, address, "hand_over")
    strokes = [[[10, 20], [30.5, 40]]]
    typed = {
        "demonstrated": "on",
        "care_given": "on",
        "customer_name": "Oona Quill",
        f"keys.{installation.pk}": "3",
        "signature": json.dumps(strokes),
    }
    told = fill_in(browser, address, form, typed).content.decode()
    assert "handed over" in told
    assert "drawn on the screen" in told
    handover = installation.job.handovers.get()
    assert (handover.signature, handover.keys) == (strokes, {str(installation.pk): 3})


def test_without_a_script_the_signature_is_on_paper(browser, fitter, installation):
    factories.fitted(fitter, installation)
    address = f"/jobs/{installation.job.reference}/handover/"
    form = form_of(browser, address, "hand_over")
    typed = {"demonstrated": "on", "care_given": "on", "customer_name": "Oona Quill"}
    typed |= {f"keys.{installation.pk}": "2"}
    page = fill_in(browser, address, form, typed)
    assert page.status_code == 400
    assert "have the handover signed, or say why" in page.content.decode()
    page = fill_in(browser, address, form, typed | {"unsigned_because": "Signed on paper"})
    assert "not signed here: Signed on paper" in page.content.decode()
    assert installation.job.handovers.get().signature == []


def test_a_customer_who_was_not_shown_it_takes_nothing_over(browser, fitter, installation):
    factories.fitted(fitter, installation)
    address = f"/jobs/{installation.job.reference}/handover/"
    form = form_of(browser, address, "hand_over")
    typed = {"care_given": "on", "customer_name": "Oona Quill", f"keys.{installation.pk}": "2"}
    page = fill_in(browser, address, form, typed)
    assert page.status_code == 400
    assert "show the customer how to open" in page.content.decode()
    assert 'value="Oona Quill"' in page.content.decode()


def test_what_is_not_done_stands_in_the_way_of_the_handover(browser, installation):
    page = browser.get(f"/jobs/{installation.job.reference}/handover/").content.decode()
    assert "Do this before the handover" in page


# -- the contract with the queue --------------------------------------------------------------


def test_every_form_says_what_the_queue_of_a_phone_needs_to_know(
    browser, fitter, installation, sheet
):
    """Kind, record, version; and nothing of it is sent that no body has."""
    factories.fitted(fitter, installation, until="glass_in")
    factories.sash(fitter, installation, 1)
    pages = ["steps/10/", "steps/33/", "junctions/2/", "sashes/1/", "members/left/", "defects/"]
    forms = [form for page in pages for form in forms_of(browser, f"{sheet}{page}")]
    recording = [form for form in forms if form.operation]
    assert len(recording) > 6
    for form in recording:
        assert form.attributes["data-record"]
        assert {"csrfmiddlewaretoken", "form", "id", "version"}.isdisjoint(form.sent)
    change = next(form for form in recording if form.operation == "change_sash")
    assert change.attributes["data-base-version"] == "1"
