"""Writes about jobs and papers: one function, one transaction, one signature each."""

from compliance.services.bends import (
    ChoiceIn,
    MischargeIn,
    hand_over,
    record_choice,
    record_mischarge,
)
from compliance.services.case_files import issue_case_file
from compliance.services.charging import (
    ChargeIn,
    finish_charge,
    refile_can,
    retype_ticket,
    take_off_can,
    take_over_can,
    weigh_can,
)
from compliance.services.checking_in import CheckInIn, LabelIn, RetrofitIn, check_in, revise_check_in
from compliance.services.closing import CloseIn, close_job, closing_problems
from compliance.services.correcting import Change, correct_job, look_at_correction
from compliance.services.documents import withdraw_document
from compliance.services.gates import WeighingIn
from compliance.services.heels import HeelIn, recover_heel
from compliance.services.holding import (
    EvacuationIn,
    HoldIn,
    LeakTestIn,
    record_evacuation,
    record_leak_test,
)
from compliance.services.holds import end_hold, place_hold
from compliance.services.photos import PhotoIn, keep_photo, set_photo_aside
from compliance.services.readings import likely_weighing, look_at_weighing
from compliance.services.recovering import RecoveryIn, record_recovery
from compliance.services.reports import draft_usage_report, issue_usage_report, reissue_usage_report
from compliance.services.shipments import receive_receipt, send_shipment
from compliance.services.stages import (
    FinalReadingsIn,
    LeakCheckIn,
    record_final_readings,
    record_leak_check,
    record_repair,
    save_draft,
    skip_stage,
)
from compliance.services.tables import record_makers_table, take_back_makers_table

__all__ = [
    "Change",
    "ChargeIn",
    "CheckInIn",
    "ChoiceIn",
    "CloseIn",
    "EvacuationIn",
    "FinalReadingsIn",
    "HeelIn",
    "HoldIn",
    "LabelIn",
    "LeakCheckIn",
    "LeakTestIn",
    "MischargeIn",
    "PhotoIn",
    "RecoveryIn",
    "RetrofitIn",
    "WeighingIn",
    "check_in",
    "close_job",
    "closing_problems",
    "correct_job",
    "draft_usage_report",
    "end_hold",
    "finish_charge",
    "hand_over",
    "issue_case_file",
    "issue_usage_report",
    "keep_photo",
    "likely_weighing",
    "look_at_correction",
    "look_at_weighing",
    "place_hold",
    "receive_receipt",
    "record_choice",
    "record_evacuation",
    "record_final_readings",
    "record_leak_check",
    "record_leak_test",
    "record_makers_table",
    "record_mischarge",
    "record_recovery",
    "record_repair",
    "recover_heel",
    "refile_can",
    "reissue_usage_report",
    "retype_ticket",
    "revise_check_in",
    "save_draft",
    "send_shipment",
    "set_photo_aside",
    "skip_stage",
    "take_back_makers_table",
    "take_off_can",
    "take_over_can",
    "weigh_can",
    "withdraw_document",
]
