"""Addresses of a job at the vehicle."""

from django.urls import path

from compliance.views import bends, charging, jobs, packs, photos, stages, tables, waiting

jobs_urls = (
    [
        path("", jobs.bay, name="list"),
        path("new/", jobs.new, name="new"),
        path("waiting/", waiting.waiting, name="waiting"),
        path("waiting/token/", waiting.token, name="token"),
        path("<str:number>/", jobs.page, name="page"),
        path("<str:number>/aside/", waiting.aside, name="aside"),
        path("<str:number>/entries/<int:pk>/", waiting.choose, name="choose-entry"),
        path("<str:number>/check-in/", jobs.check_in, name="check-in"),
        path("<str:number>/charge/", charging.charge, name="charge"),
        path("<str:number>/charge/look/", charging.look, name="look"),
        path("<str:number>/charge/keep/", charging.finish_charge, name="finish-charge"),
        path("<str:number>/charge/take-over/", charging.take_over, name="take-over"),
        path("<str:number>/charge/wrong-refrigerant/", charging.mischarge, name="mischarge"),
        path("<str:number>/charge/ticket/<int:ticket>/", charging.retype, name="retype"),
        path("<str:number>/charge/can/<str:code>/off/", charging.take_off, name="take-off"),
        path("<str:number>/charge/can/<str:code>/other/", charging.other_can, name="other-can"),
        path("<str:number>/choice/", bends.choice, name="choice"),
        path("<str:number>/hand-over/", bends.hand_over, name="hand-over"),
        path("<str:number>/close/", jobs.close, name="close"),
        path("<str:number>/not-charged/", jobs.not_charged, name="not-charged"),
        path("<str:number>/makers-table/", tables.makers_table, name="makers-table"),
        path("<str:number>/makers-table/<int:pk>/take-back/", tables.take_back, name="take-back-table"),
        path("<str:number>/asked/", packs.asked, name="asked"),
        path("<str:number>/<str:kind>/", stages.stage, name="stage"),
        path("<str:number>/<str:kind>/draft/", stages.draft, name="draft"),
        path("<str:number>/<str:kind>/leave-out/", stages.leave_out, name="leave-out"),
    ],
    "jobs",
)
photos_urls = (
    [
        path("<str:number>/photos/new/", photos.new, name="new"),
        path("<str:number>/photos/<int:pk>/", photos.show, name="show"),
        path("<str:number>/photos/<int:pk>/set-aside/", photos.set_aside, name="set-aside"),
    ],
    "photos",
)
