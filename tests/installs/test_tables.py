"""What was fitted, inspected and found, as tables for the office."""

import pytest

from installs.services.defects import put_right, record_defect
from installs.services.packing import change_packers
from jobs.code_labels import code_label
from jobs.idempotency import IdempotencyKey
from tests import factories
from tests.api import signed_in
from tests.tables import rows_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def fitted(fitter, installation):
    """Fixed, with the gaps of the running gear read, and every step up to there inspected."""
    return factories.fitted(fitter, installation, until="finishing")


def test_a_fixing_tells_its_place_and_its_packers_in_mm(office, fitter, installation):
    factories.fitted(fitter, installation, until="fixing")
    fixing = factories.fixing(fitter, installation, packers=[3, 1.5])
    [row] = rows_of(signed_in(office), "/api/v1/fixings/", "xlsx")
    assert row.pop("Made").startswith(f"{fixing.created_at:%Y-%m-%d}")
    assert row == {
        "Job": installation.job.reference,
        "Opening": "Rear wall",
        "Member": "Left",
        "Position from the left or foot end (mm)": 150,
        "Kind": "frame screw",
        "Packers (mm each)": "3 + 1.5",
        "Fitter": fitter.display_name,
    }


def test_a_change_of_packers_tells_what_was_taken_out_and_what_was_added(
    office, fitter, installation
):
    factories.fitted(fitter, installation, until="fixing")
    change = change_packers(
        actor=fitter,
        idempotency_key=IdempotencyKey(),
        installation=installation,
        member="left",
        position=199,
        added=[3, 1],
        taken=[10],
    )
    [row] = rows_of(signed_in(office), "/api/v1/packer-changes/", "xlsx")
    assert row.pop("Made").startswith(f"{change.created_at:%Y-%m-%d}")
    assert row == {
        "Job": installation.job.reference,
        "Opening": "Rear wall",
        "Member": "Left",
        "Position from the left or foot end (mm)": 199,
        "Taken out (mm each)": "10",
        "Added (mm each)": "3 + 1",
        "Change of the stack (mm)": -6,
        "Fitter": fitter.display_name,
    }


def test_gaps_stand_beside_what_they_were_held_against(office, fitted):
    gap = fitted.gaps.first()
    row = rows_of(signed_in(office), "/api/v1/junction-gaps/", "xlsx")[0]
    assert (row["Junction"], row["Decision"]) == (gap.junction, gap.decision)
    sizes = (row["Gap at the head (mm)"], row["Gap at the sill (mm)"])
    assert sizes == (gap.head_gap, gap.sill_gap)
    assert row["Greatest difference (mm)"] == gap.limit


def test_every_reading_of_an_inspection_is_a_row_with_unit_limits_and_verdict(
    office, fitter, installation, step
):
    factories.fitted(fitter, installation, until="diagonals")
    inspection = factories.inspection(fitter, step("diagonals"))
    path = f"/api/v1/inspections/?step={inspection.step_id}"
    rows = rows_of(signed_in(office), path, "xlsx")
    read = inspection.readings.get()
    assert [
        (row["Place"], row["Unit of the numbers that follow"], row["Reading"], row["Upper limit"])
        for row in rows
    ] == [(code_label(read.place), read.unit, read.value, read.upper)]
    assert (rows[0]["Step"], rows[0]["Decision"]) == (inspection.step.number, "Pass")
    assert rows[0]["Inspector"] == fitter.display_name


def test_a_defect_tells_who_found_it_and_how_it_was_put_right(office, fitter, installation):
    defect = record_defect(
        actor=office,
        idempotency_key=IdempotencyKey(),
        installation=installation,
        severity="major",
        description="@bead, cracked",
    )
    put_right(actor=fitter, defect=defect, expected_version=1, how="A new bead")
    [row] = rows_of(signed_in(fitter), "/api/v1/defects/")
    columns = {name: row[name] for name in ("Severity", "Description", "How", "Closed")}
    assert columns == {
        "Severity": "Major",
        "Description": "'@bead, cracked",
        "How": "A new bead",
        "Closed": "",
    }
    assert (row["Found by"], row["Put right by"]) == (office.display_name, fitter.display_name)


LISTS = ["fixings", "junction-gaps", "inspections"]


def test_a_stranger_takes_nothing_of_it_away(office, fitter, fitted):
    stranger = signed_in(factories.person("fitter"))
    for name in LISTS:
        assert rows_of(signed_in(fitter), f"/api/v1/{name}/")
        assert rows_of(stranger, f"/api/v1/{name}/") == []


def test_a_table_costs_the_same_however_many_rows_it_has(
    office, fitted, django_assert_max_num_queries
):
    client = signed_in(office)
    for name in LISTS:
        with django_assert_max_num_queries(5):
            assert len(rows_of(client, f"/api/v1/{name}/")) > 5
