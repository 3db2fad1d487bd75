"""Writes about jobs and papers: one function, one transaction, one signature each."""

from compliance.services.certificates import reissue_certificate
from compliance.services.charging import (
    ChargeIn,
    WeighingIn,
    finish_charge,
    likely_weighing,
    retype_ticket,
    weigh_can,
)
from compliance.services.checking_in import CheckInIn, LabelIn, check_in, revise_check_in
from compliance.services.closing import CloseIn, close_job, closing_problems
from compliance.services.documents import withdraw_document
from compliance.services.heels import HeelIn, recover_heel
from compliance.services.photos import PhotoIn, keep_photo, set_photo_aside
from compliance.services.recovering import RecoveryIn, record_recovery
from compliance.services.reports import draft_usage_report, issue_usage_report, reissue_usage_report
from compliance.services.stages import (
    EvacuationIn,
    FinalReadingsIn,
    LeakCheckIn,
    LeakTestIn,
    record_evacuation,
    record_final_readings,
    record_leak_check,
    record_leak_test,
    record_repair,
    save_draft,
    skip_stage,
)

__all__ = [
    "ChargeIn",
    "CheckInIn",
    "CloseIn",
    "EvacuationIn",
    "FinalReadingsIn",
    "HeelIn",
    "LabelIn",
    "LeakCheckIn",
    "LeakTestIn",
    "PhotoIn",
    "RecoveryIn",
    "WeighingIn",
    "check_in",
    "close_job",
    "closing_problems",
    "draft_usage_report",
    "finish_charge",
    "issue_usage_report",
    "keep_photo",
    "likely_weighing",
    "record_evacuation",
    "record_final_readings",
    "record_leak_check",
    "record_leak_test",
    "record_recovery",
    "record_repair",
    "recover_heel",
    "reissue_certificate",
    "reissue_usage_report",
    "retype_ticket",
    "revise_check_in",
    "save_draft",
    "set_photo_aside",
    "skip_stage",
    "weigh_can",
    "withdraw_document",
]
