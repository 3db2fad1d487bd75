"""Writes about the shop: one function, one transaction, one signature each."""

from shop.services.equipment import CheckIn, EquipmentIn, add_equipment, log_check, retire_equipment
from shop.services.people import (
    CardIn,
    PersonIn,
    add_card,
    add_person,
    authorise_person,
    end_authorisation,
    end_sign_on,
    let_back_in,
    renew_password,
    set_language,
)
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
    "PersonIn",
    "VehicleIn",
    "add_card",
    "add_equipment",
    "add_person",
    "add_vehicles",
    "authorise_person",
    "change_rule",
    "end_authorisation",
    "end_quick_sign_on",
    "end_sign_on",
    "end_station",
    "issue_badge",
    "known_vehicle",
    "let_back_in",
    "log_backup_trial",
    "log_check",
    "make_station",
    "next_number",
    "next_numbers",
    "note_taken_out",
    "renew_password",
    "retire_equipment",
    "send_reminders_to",
    "set_language",
    "set_pin",
]
