"""Addresses of the bay, the papers, Today and Find."""

from django.urls import include, path

from compliance import api
from compliance.views import (
    bends,
    case_files,
    charging,
    charts,
    corrections,
    find,
    heels,
    holds,
    jobs,
    labels,
    papers,
    photos,
    recall,
    reports,
    returns,
    sheets,
    shipments,
    stages,
    sums,
    tables,
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
        path("<str:number>/makers-table/", tables.makers_table, name="makers-table"),
        path("<str:number>/makers-table/<int:pk>/take-back/", tables.take_back, name="take-back-table"),
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
labels_urls = (
    [
        path("new/", labels.new, name="new"),
        path("door/", labels.door, name="door"),
        path("<int:pk>/", labels.page, name="page"),
        path("<int:pk>/pdf/", labels.pdf, name="pdf"),
    ],
    "labels",
)
shipments_urls = (
    [
        path("", shipments.listing, name="list"),
        path("new/", shipments.new, name="new"),
        path("facility/", shipments.new_facility, name="facility"),
        path("<slug:number>/", shipments.page, name="page"),
        path("<slug:number>/receipt/", shipments.receipt, name="receipt"),
    ],
    "shipments",
)
corrections_urls = (
    [
        path("", corrections.listing, name="list"),
        path("job/<str:number>/", corrections.new, name="new"),
        path("<slug:slip>/", corrections.page, name="page"),
    ],
    "corrections",
)
holds_urls = (
    [
        path("", holds.listing, name="list"),
        path("<str:number>/new/", holds.new, name="new"),
        path("<str:number>/end/", holds.end, name="end"),
    ],
    "holds",
)
sums_urls = (
    [
        path("", sums.listing, name="list"),
        path("chart/", charts.page, name="chart"),
        path("chart/pdf/", charts.pdf, name="chart-pdf"),
        path("<slug:name>/", sums.page, name="page"),
    ],
    "sums",
)
sheets_urls = (
    [
        path("", sheets.listing, name="list"),
        path("whole/", sheets.whole, name="whole"),
        path("recall.<slug:ending>", sheets.recall, name="recall"),
        path("<slug:name>.<slug:ending>", sheets.download, name="download"),
    ],
    "sheets",
)
urlpatterns = [
    path("", today.today, name="today"),
    path("find/", find.find, name="find"),
    path("find/lot/", recall.page, name="recall"),
    path("bay/", include(photos_urls)),
    path("bay/", include(jobs_urls)),
    path("labels/", include(labels_urls)),
    path("shipments/", include(shipments_urls)),
    path("sums/", include(sums_urls)),
    path("sheets/", include(sheets_urls)),
    path("corrections/", include(corrections_urls)),
    path("holds/", include(holds_urls)),
    path("case-file/<str:number>/", case_files.new, name="case-file"),
    path("papers/", include(papers_urls)),
    path("reports/", include(reports_urls)),
    path("containers/<str:code>/heel/", heels.heel, name="heel"),
    path("returns/<slug:number>/", returns.page, name="return-slip"),
    path("returns/<slug:number>/pdf/", returns.pdf, name="return-slip-pdf"),
    path("api/papers/", api.PaperList.as_view(), name="api-papers"),
    path("api/papers/<str:number>/<int:version>/", api.PaperDetail.as_view(), name="api-paper"),
    path("check/<str:number>/<int:version>/", papers.check, name="check"),
]
