"""The JSON report is what its schema says."""

import json

import pytest
from jsonschema import Draft202012Validator

from bomcheck.assess import assess
from bomcheck.io.read.job import read_job
from bomcheck.model.shipped import folder
from bomcheck.paper.json_report import report_as_json

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
    assert {finding["check"] for finding in printed["findings"]} >= set(printed["deciding"])


def test_whole_car_and_purchase_are_there() -> None:
    """What stands beside the fit verdict: the whole car with what is not good, and the purchase with its price."""
    job, _ = read_job(folder("demo_workbooks") / "hatchback_too_strong.xlsx")
    report = assess(job)
    printed = report_as_json(report)
    against = [finding["check"] for finding in printed["whole_car"] if finding["verdict"] == "not good"]
    assert against == [finding.key for finding in report.system if finding.verdict == "not good"]
    assert len(against) == 2
    assert printed["purchase"]["cheapest"]["cost"] == 151.0
