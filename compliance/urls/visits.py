"""Addresses of the inspection binder, visits, and what a visitor's pass opens."""

from django.urls import path

from compliance.views import binder, passes, visitor, visits

binder_urls = (
    [
        path("", binder.check, name="check"),
        path("pdf/", binder.pdf, name="pdf"),
        path("keep/", binder.keep, name="keep"),
    ],
    "binder",
)
visits_urls = (
    [
        path("", visits.listing, name="list"),
        path("new/", visits.new, name="new"),
        path("<slug:number>/", visits.page, name="page"),
        path("<slug:number>/pdf/", visits.pdf, name="pdf"),
        path("<slug:number>/pass/", passes.new, name="pass"),
        path("pass/<int:pk>/end/", passes.end, name="end-pass"),
        path("<slug:number>/<slug:kind>/", visits.note, name="note"),
    ],
    "visits",
)
visitor_urls = (
    [
        path("", visitor.home, name="home"),
        path("enter/<str:code>/", visitor.enter, name="enter"),
        path("certificate/<str:number>/", visitor.certificate, name="certificate"),
        path("<slug:key>/", visitor.tab, name="tab"),
    ],
    "visitor",
)
