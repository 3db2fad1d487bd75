"""Addresses of the bay, the papers, Today and Find."""

from django.urls import include, path

from compliance import api
from compliance.views import (
    bends,
    charging,
    find,
    heels,
    jobs,
    papers,
    photos,
    reports,
    returns,
    stages,
    sums,
    today,
)

jobs_urls = (
    [
        path("", jobs.bay, name="list"),
        path("new/", jobs.new, name="new"),
        path("<str:number>/", jobs.page, name="page"),
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
papers_urls = (
    [
        path("", papers.certificates, name="list"),
        path("<str:number>/<int:version>/", papers.page, name="page"),
        path("<str:number>/<int:version>/pdf/", papers.pdf, name="pdf"),
        path("<str:number>/<int:version>/reissue/", papers.reissue, name="reissue"),
        path("<str:number>/<int:version>/withdraw/", papers.withdraw, name="withdraw"),
    ],
    "papers",
)
reports_urls = (
    [
        path("", reports.reports, name="list"),
        path("draft/", reports.draft, name="draft"),
        path("sign/", reports.sign, name="sign"),
    ],
    "reports",
)
sums_urls = (
    [
        path("", sums.listing, name="list"),
        path("<slug:name>/", sums.page, name="page"),
    ],
    "sums",
)
urlpatterns = [
    path("", today.today, name="today"),
    path("find/", find.find, name="find"),
    path("bay/", include(photos_urls)),
    path("bay/", include(jobs_urls)),
    path("sums/", include(sums_urls)),
    path("papers/", include(papers_urls)),
    path("reports/", include(reports_urls)),
    path("containers/<str:code>/heel/", heels.heel, name="heel"),
    path("returns/<slug:number>/", returns.page, name="return-slip"),
    path("returns/<slug:number>/pdf/", returns.pdf, name="return-slip-pdf"),
    path("api/papers/", api.PaperList.as_view(), name="api-papers"),
    path("api/papers/<str:number>/<int:version>/", api.PaperDetail.as_view(), name="api-paper"),
    path("check/<str:number>/<int:version>/", papers.check, name="check"),
]
