"""Every address of the project: the shop's own pages here, the other two apps by their urls."""

from django.urls import URLPattern, include, path

from shop.views import (
    device,
    equipment,
    house,
    outgoing,
    programs,
    records,
    sign_on,
    stations,
    words,
)

handler404 = "shop.api.problems.missing"
handler500 = "shop.api.problems.broken"

equipment_patterns: list[URLPattern] = [
    path("", equipment.listing, name="list"),
    path("new/", equipment.new, name="new"),
    path("<slug:code>/", equipment.page, name="page"),
    path("<slug:code>/check/", equipment.check, name="check"),
    path("<slug:code>/retire/", equipment.retire, name="retire"),
]
stations_patterns: list[URLPattern] = [
    path("new/", stations.new, name="new"),
    path("<int:pk>/end/", stations.end, name="end"),
]
house_patterns: list[URLPattern] = [
    path("rules/", house.rules, name="rules"),
    path("reminders/", house.reminders, name="reminders"),
    path("backups/", house.backups, name="backups"),
    path("outgoing/", outgoing.listing, name="outgoing"),
    path("outgoing/new/", outgoing.new, name="outgoing-new"),
    path("outgoing/<int:pk>/", outgoing.page, name="outgoing-page"),
    path("outgoing/<int:pk>/trial/", outgoing.trial, name="outgoing-trial"),
    path("outgoing/<int:pk>/again/", outgoing.again, name="outgoing-again"),
    path("outgoing/<int:pk>/end/", outgoing.end, name="outgoing-end"),
]
programs_patterns: list[URLPattern] = [
    path("", programs.listing, name="list"),
    path("new/", programs.new, name="new"),
    path("<int:pk>/end/", programs.end, name="end"),
]

urlpatterns = [
    path("sign-on/", sign_on.sign_on, name="sign-on"),
    path("sign-on/password/", sign_on.by_password, name="sign-on-password"),
    path("sign-on/<int:pk>/", sign_on.by_pin, name="sign-on-pin"),
    path("sign-off/", sign_on.sign_off, name="sign-off"),
    path("lock/", sign_on.lock, name="lock"),
    path("device/", device.device, name="device"),
    path("device/language/", device.language, name="device-language"),
    path("device/pin/", device.pin, name="device-pin"),
    path("device/badge/", device.badge, name="device-badge"),
    path("stations/", include((stations_patterns, "stations"))),
    path("words/", words.words, name="words"),
    path("records/", records.records, name="records"),
    path("equipment/", include((equipment_patterns, "equipment"))),
    path("programs/", include((programs_patterns, "programs"))),
    path("api/", include("shop.api.urls")),
    path("house/", include((house_patterns, "house"))),
    path("", include("inventory.urls")),
    path("", include("compliance.urls")),
]
