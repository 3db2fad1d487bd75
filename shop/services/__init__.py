"""Writes about the shop: one function, one transaction, one signature each."""

from shop.services.cards import (
    CardIn,
    add_card,
    add_card_image,
    change_owner,
    end_buyer,
    mark_unreadable,
    name_buyer,
    name_officer,
)
from shop.services.equipment import CheckIn, EquipmentIn, add_equipment, log_check, retire_equipment
from shop.services.leaving import LeavingIn, leave_shop
from shop.services.outgoing import ListenerIn, add_listener, end_listener, send_again, tell, write_trial
from shop.services.papers import FileIn
from shop.services.people import (
    PersonIn,
    add_person,
    authorise_person,
    end_authorisation,
    let_back_in,
    renew_password,
    set_language,
)
from shop.services.programs import ProgramKeyIn, end_program_key, make_program_key, note_program_use
from shop.services.rules import change_rule
from shop.services.series import next_number, next_numbers
from shop.services.stations import end_quick_sign_on, end_station, issue_badge, make_station, set_pin
from shop.services.taking_out import note_taken_out
from shop.services.upkeep import log_backup_trial, send_reminders_to
from shop.services.vehicles import VehicleIn, add_vehicles, known_vehicle

__all__ = [
    "CardIn",
    "CheckIn",
    "EquipmentIn",
    "FileIn",
    "LeavingIn",
    "ListenerIn",
    "PersonIn",
    "ProgramKeyIn",
    "VehicleIn",
    "add_card",
    "add_card_image",
    "add_equipment",
    "add_listener",
    "add_person",
    "add_vehicles",
    "authorise_person",
    "change_owner",
    "change_rule",
    "end_authorisation",
    "end_buyer",
    "end_listener",
    "end_program_key",
    "end_quick_sign_on",
    "end_station",
    "issue_badge",
    "known_vehicle",
    "leave_shop",
    "let_back_in",
    "log_backup_trial",
    "log_check",
    "make_program_key",
    "make_station",
    "mark_unreadable",
    "name_buyer",
    "name_officer",
    "next_number",
    "next_numbers",
    "note_program_use",
    "note_taken_out",
    "renew_password",
    "retire_equipment",
    "send_again",
    "send_reminders_to",
    "set_language",
    "set_pin",
    "tell",
    "write_trial",
]
