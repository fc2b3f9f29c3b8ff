"""The JSON report is what its schema says."""

import json

import pytest
from jsonschema import Draft202012Validator

from bomcheck.assess import assess
from bomcheck.export.json_report import report_as_json
from bomcheck.shipped import folder
from bomcheck.workbook.read import read_job

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
