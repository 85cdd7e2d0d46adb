"""What a command says, as words and as JSON."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.cli import output
from planner.domain.errors import Fault, ImpossibleError, InputError
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.plan import PlannedVisit, VisitKey

VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text() | st.dates() | st.datetimes(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner) | st.frozensets(st.text()),
    max_leaves=12,
)


def _finding(severity: Severity) -> Finding:
    return Finding(Rule.ROUTE_CIRCLES, severity, Subject(route="R05", point=6), "Circles overlap.", "Move one.")


@settings(max_examples=50)
@given(VALUES)
def test_that_plain_values_always_make_valid_json(value: object) -> None:
    text = json.dumps(output.plain(value), allow_nan=False)
    assert json.dumps(json.loads(text)) == json.dumps(output.plain(value))


def test_that_plain_keeps_dates_enums_and_nested_values() -> None:
    visit = PlannedVisit(VisitKey("R01", 2), "V03", dt.date(2027, 6, 8), "dusk", reserve=dt.date(2027, 6, 10))
    plain = output.plain({"visit": visit, "severity": Severity.TROUBLE, "path": Path("a.dimpsy")})
    assert plain == {
        "visit": {
            "key": {"route": "R01", "number": 2},
            "lead": "V03",
            "date": "2027-06-08",
            "window": "dusk",
            "second": "",
            "reserve": "2027-06-10",
            "setup": None,
            "status": "planned",
            "pinned": False,
        },
        "severity": "trouble",
        "path": "a.dimpsy",
    }


@pytest.mark.parametrize("number", [float("nan"), float("inf"), -float("inf")])
def test_that_numbers_json_cannot_hold_become_null(number: float) -> None:
    assert output.plain(number) is None


def test_that_findings_are_numbered_and_say_what_to_do() -> None:
    assert output.finding_lines((_finding(Severity.TROUBLE),)) == (
        "  1. TROUBLE  route R05, point 6: Circles overlap.",
        "     What to do: Move one.",
    )


def test_that_only_what_a_person_must_decide_changes_the_exit_status() -> None:
    assert output.findings_status(()) == output.DONE
    assert output.findings_status((_finding(Severity.DOUBT),)) == output.DONE
    assert output.findings_status((_finding(Severity.TROUBLE),)) == output.FINDINGS


def test_that_an_input_error_lists_its_faults_in_json_and_says_them_on_standard_error(
    capsys: pytest.CaptureFixture[str],
) -> None:
    error = InputError(Fault("points.csv", "line 3", "a latitude", "'north'", "Mend it."))
    assert output.show_error(error, as_json=True) == output.UNREADABLE
    said = capsys.readouterr()
    assert json.loads(said.out)["faults"] == [
        {"source": "points.csv", "where": "line 3", "expected": "a latitude", "found": "'north'", "todo": "Mend it."}
    ]
    assert "points.csv, line 3: expected a latitude, found 'north'. Mend it." in said.err


def test_that_what_is_impossible_has_its_own_exit_status_and_reasons(capsys: pytest.CaptureFixture[str]) -> None:
    assert output.show_error(ImpossibleError("Not this.", "because"), as_json=True) == output.IMPOSSIBLE
    assert json.loads(capsys.readouterr().out) == {
        "error": "impossible",
        "message": "Not this.\n- because",
        "reasons": ["because"],
    }


def test_that_a_path_is_said_as_the_user_would_type_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert output.file_word(tmp_path / "a" / "s.dimpsy") == "a/s.dimpsy"
    assert output.file_word(Path("/elsewhere/s.dimpsy")) == "/elsewhere/s.dimpsy"
