"""Writes about jobs and papers: one function, one transaction, one signature each."""

from compliance.services.bends import (
    ChoiceIn,
    MischargeIn,
    hand_over,
    record_choice,
    record_mischarge,
)
from compliance.services.binder import issue_binder, look_at_binder
from compliance.services.bundling import make_bundle
from compliance.services.card_copies import CopyIn, NoticeIn, give_card_copy, note_notice
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
from compliance.services.chart_looks import record_look
from compliance.services.checking_in import CheckInIn, LabelIn, RetrofitIn, check_in, revise_check_in
from compliance.services.clearing import (
    AskIn,
    ask_to_clear,
    clear_now,
    confirm_clearing,
    go_on,
    undo_clearing,
)
from compliance.services.closing import CloseIn, close_job, closing_problems, signing_problems
from compliance.services.correcting import Change, correct_job, look_at_correction
from compliance.services.counting import count_cabinet
from compliance.services.documents import withdraw_document
from compliance.services.emptying import EmptyingIn, empty_unusable
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
from compliance.services.leaving import hand_over_all
from compliance.services.packages import choose_keeping, make_archive
from compliance.services.packs import AnswerIn, PackChoiceIn, answer_pack, choose_packs
from compliance.services.photos import PhotoIn, keep_photo, set_photo_aside
from compliance.services.readings import likely_weighing, look_at_weighing
from compliance.services.recovering import RecoveryIn, record_recovery
from compliance.services.reports import (
    draft_usage_report,
    issue_usage_report,
    reissue_usage_report,
)
from compliance.services.selling import SaleIn, make_hand_over
from compliance.services.sharing import end_link, give_link
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
from compliance.services.statements import (
    EarlierIn,
    SentIn,
    StatementIn,
    add_proof,
    confirm_address,
    send_statement,
    sign_statement,
    state_earlier,
)
from compliance.services.tables import record_makers_table, take_back_makers_table
from compliance.services.waiting import SpareIn, choose_entry, keep_second_entry, set_entry_aside

__all__ = [
    "AnswerIn",
    "AskIn",
    "Change",
    "ChargeIn",
    "CheckInIn",
    "ChoiceIn",
    "CloseIn",
    "CopyIn",
    "EarlierIn",
    "EmptyingIn",
    "EvacuationIn",
    "FinalReadingsIn",
    "HeelIn",
    "HoldIn",
    "LabelIn",
    "LeakCheckIn",
    "LeakTestIn",
    "MischargeIn",
    "NoticeIn",
    "PackChoiceIn",
    "PhotoIn",
    "RecoveryIn",
    "RetrofitIn",
    "SaleIn",
    "SentIn",
    "SpareIn",
    "StatementIn",
    "WeighingIn",
    "add_proof",
    "answer_pack",
    "ask_to_clear",
    "check_in",
    "choose_entry",
    "choose_keeping",
    "choose_packs",
    "clear_now",
    "close_job",
    "closing_problems",
    "confirm_address",
    "confirm_clearing",
    "correct_job",
    "count_cabinet",
    "draft_usage_report",
    "empty_unusable",
    "end_hold",
    "end_link",
    "finish_charge",
    "give_card_copy",
    "give_link",
    "go_on",
    "hand_over",
    "hand_over_all",
    "issue_binder",
    "issue_case_file",
    "issue_usage_report",
    "keep_photo",
    "keep_second_entry",
    "likely_weighing",
    "look_at_binder",
    "look_at_correction",
    "look_at_weighing",
    "make_archive",
    "make_bundle",
    "make_hand_over",
    "note_notice",
    "place_hold",
    "receive_receipt",
    "record_choice",
    "record_evacuation",
    "record_final_readings",
    "record_leak_check",
    "record_leak_test",
    "record_look",
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
    "send_statement",
    "set_entry_aside",
    "set_photo_aside",
    "sign_statement",
    "signing_problems",
    "skip_stage",
    "state_earlier",
    "take_back_makers_table",
    "take_off_can",
    "take_over_can",
    "undo_clearing",
    "weigh_can",
    "withdraw_document",
]
