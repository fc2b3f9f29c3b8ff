"""The JSON report is what its schema says."""

import json
from dataclasses import replace

import pytest
from jsonschema import Draft202012Validator

from bomcheck.assess import assess
from bomcheck.car.checks import word
from bomcheck.io.read.job import read_job
from bomcheck.model.errors import Fault, Place
from bomcheck.model.finding import Reason
from bomcheck.model.shipped import folder
from bomcheck.model.verdict import Verdict
from bomcheck.paper.json_report import report_as_json
from tests.helpers.jobs import good_job

SCHEMA = json.loads((folder("schemas") / "report.schema.json").read_text("utf-8"))
DEMOS = sorted(folder("demo_workbooks").glob("*.xlsx"))


def test_schema_is_a_schema() -> None:
    """The schema itself keeps the rules of JSON Schema 2020-12."""
    Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("demo", DEMOS, ids=lambda path: path.stem)
def test_report_validates(demo) -> None:
    """Every demo's report, written out and read again, keeps the schema."""
    job, _ = read_job(demo)
    printed = json.loads(json.dumps(report_as_json(assess(job)), allow_nan=False))
    Draft202012Validator(SCHEMA).validate(printed)
    assert printed["findings"]
    told = (
        *printed["findings"],
        *printed["whole_car"],
        *(one for axle in printed["axles"] for one in axle["findings"]),
    )
    assert {finding["check"] for finding in told} >= set(printed["deciding"])


@pytest.mark.parametrize("demo", DEMOS, ids=lambda path: path.stem)
def test_every_finding_that_is_not_plainly_well_has_its_reason(demo) -> None:
    """A reason out of the closed list wherever the verdict is not "fits", and none where it is."""
    for finding in assess(read_job(demo)[0]).findings:
        assert (finding.reason is Reason.NONE) == (finding.verdict is Verdict.FITS), finding


def test_a_blank_a_rejected_cell_and_a_straddling_size_are_told_apart() -> None:
    """The same bore: not there, held back by a fault of the cell, and known too coarsely."""
    good = good_job()
    bore = good.values["hat_bore"]
    without = {key: value for key, value in good.values.items() if key != "hat_bore"}
    fault = Fault("not a number", Place("job.xlsx", "Kit", "B9"), "x", "this is no number", "Type it in mm")
    jobs = {
        Reason.BLANK: replace(good, values=without),
        Reason.REJECTED: replace(good, values=without, rejected={"hat_bore": fault}),
        Reason.STRADDLES: replace(good, values={**good.values, "hat_bore": replace(bore, plus_minus=1.0)}),
    }
    for reason, job in jobs.items():
        found = {one.check: one for one in assess(job).findings}["pilot_fit"]
        assert (found.verdict, found.reason) == (Verdict.NOT_KNOWN, reason)


def test_whole_car_and_purchase_are_there() -> None:
    """What stands beside the fit verdict: the whole car with what is not good, and the purchase with its price."""
    job, _ = read_job(folder("demo_workbooks") / "hatchback_too_strong.xlsx")
    report = assess(job)
    printed = report_as_json(report)
    against = [finding["check"] for finding in printed["whole_car"] if finding["judged"] == "not good"]
    assert against == [finding.check for finding in report.system if word(finding) == "not good"]
    assert len(against) == 2
    assert printed["purchase"]["cheapest"]["cost"] == 151.0
