"""Visit records: judged against the protocol, kept, and what follows from them for the plan."""

from planner.usecases.records.findings import LATE_DAYS, record_findings
from planner.usecases.records.grounds import record_ground
from planner.usecases.records.judged import Judged, breaks, judge_record
from planner.usecases.records.keeping import (
    KeptRecord,
    forget_record,
    keep_record,
    keep_records,
    latest_final,
    let_visit_stand,
    redate_record,
    reopen_record,
)
from planner.usecases.records.settling import Settled, settled_records

__all__ = [
    "LATE_DAYS",
    "Judged",
    "KeptRecord",
    "Settled",
    "breaks",
    "forget_record",
    "judge_record",
    "keep_record",
    "keep_records",
    "latest_final",
    "let_visit_stand",
    "record_findings",
    "record_ground",
    "redate_record",
    "reopen_record",
    "settled_records",
]
