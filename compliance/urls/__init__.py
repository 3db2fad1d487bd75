"""Addresses of the bay, the papers, Today and Find."""

from django.urls import include, path

from compliance.urls.bay import jobs_urls, photos_urls
from compliance.urls.visits import binder_urls, visitor_urls, visits_urls
from compliance.views import (
    bundle,
    card_copies,
    case_files,
    charts,
    clearing,
    control,
    corrections,
    counts,
    difference,
    doubt,
    find,
    heels,
    holds,
    labels,
    leaving,
    old_records,
    packs,
    papers,
    people,
    recall,
    reports,
    returns,
    selling,
    sharing,
    sheets,
    shipments,
    statements,
    sums,
    today,
    waiting,
)
from inventory.urls import counts_patterns
from shop.views import cards
from shop.views import people as persons

people_urls = (
    [
        path("", people.listing, name="list"),
        path("stages/", people.stages, name="stages"),
        path("new/", persons.new, name="new"),
        path("owner/", cards.new_owner, name="owner"),
        path("copies/", card_copies.listing, name="copies"),
        path("copies/new/", card_copies.new, name="new-copy"),
        path("copies/<slug:number>/", card_copies.page, name="copy"),
        path("copies/<slug:number>/pdf/", card_copies.pdf, name="copy-pdf"),
        path("<int:pk>/", people.page, name="page"),
        path("<int:pk>/card/", persons.card, name="card"),
        path("<int:pk>/card/<int:card>/image/", cards.image, name="new-image"),
        path("<int:pk>/image/<int:image>/", cards.show, name="card-image"),
        path("<int:pk>/image/<int:image>/unreadable/", cards.unreadable, name="unreadable"),
        path("<int:pk>/authorise/", persons.authorise, name="authorise"),
        path("<int:pk>/end/", persons.end, name="end"),
        path("<int:pk>/buyer/", cards.buyer, name="buyer"),
        path("<int:pk>/buyer/end/", cards.no_buyer, name="end-buyer"),
        path("<int:pk>/officer/", cards.officer, name="officer"),
        path("<int:pk>/leave/", leaving.leave, name="leave"),
        path("<int:pk>/leave/jobs/", leaving.hand_over, name="hand-over"),
        path("<int:pk>/notice/<int:supplier>/", leaving.notice, name="notice"),
        path("<int:pk>/notice/<int:supplier>/pdf/", leaving.pdf, name="notice-pdf"),
        path("<int:pk>/password/", persons.password, name="password"),
        path("<int:pk>/quick/", persons.end_quick, name="end-quick"),
    ],
    "people",
)
statements_urls = (
    [
        path("", statements.listing, name="list"),
        path("new/", statements.new, name="new"),
        path("address/", statements.address, name="address"),
        path("earlier/<slug:code>/", statements.earlier, name="earlier"),
        path("sent/<int:pk>/proof/", statements.proof, name="proof"),
        path("proof/<int:pk>/", statements.show_proof, name="show-proof"),
        path("<slug:number>/<int:version>/sent/", statements.sent, name="sent"),
    ],
    "statements",
)

papers_urls = (
    [
        path("", papers.certificates, name="list"),
        path("<str:number>/<int:version>/", papers.page, name="page"),
        path("<str:number>/<int:version>/pdf/", papers.pdf, name="pdf"),
        path("<str:number>/<int:version>/links/", sharing.links, name="links"),
        path("links/<int:pk>/end/", sharing.end, name="end-link"),
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
counts_urls = ([*counts_patterns, path("new/", counts.new, name="new")], "counts")
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
control_urls = (
    [
        path("", control.listing, name="list"),
        path("look/", control.look, name="look"),
    ],
    "control",
)
old_urls = (
    [
        path("", old_records.listing, name="list"),
        path("archive/", old_records.archive, name="archive"),
        path("keep/", old_records.keep, name="keep"),
        path("clear/<int:pk>/", clearing.ask, name="ask"),
        path("clearings/<int:pk>/", clearing.page, name="clearing"),
        path("clearings/<int:pk>/confirm/", clearing.confirm, name="confirm"),
        path("clearings/<int:pk>/undo/", clearing.undo, name="undo"),
        path("clearings/<int:pk>/clear/", clearing.clear, name="clear"),
        path("records.<slug:ending>", old_records.sheet, name="sheet"),
    ],
    "old",
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
packs_urls = (
    [
        path("", packs.rules, name="rules"),
        path("choose/", packs.choose, name="choose"),
        path("<slug:code>/", packs.rule, name="rule"),
    ],
    "packs",
)

DIFFERENCE = "counts/<int:pk>/difference/<str:refrigerant>/"
urlpatterns = [
    path("visits/", include(visits_urls)),
    path("visitor/", include(visitor_urls)),
    path("binder/", include(binder_urls)),
    path("", today.today, name="today"),
    path("bay-worker.js", waiting.worker, name="bay-worker"),
    path("no-signal/", waiting.no_signal, name="no-signal"),
    path("people/", include(people_urls)),
    path("statements/", include(statements_urls)),
    path("find/", find.find, name="find"),
    path("find/lot/", recall.page, name="recall"),
    path("bay/", include(photos_urls)),
    path("bay/", include(jobs_urls)),
    path("counts/", include(counts_urls)),
    path("labels/", include(labels_urls)),
    path("shipments/", include(shipments_urls)),
    path("sums/", include(sums_urls)),
    path("records/charts/", include(control_urls)),
    path("sheets/", include(sheets_urls)),
    path("corrections/", include(corrections_urls)),
    path("holds/", include(holds_urls)),
    path("case-file/<str:number>/", case_files.new, name="case-file"),
    path("papers/", include(papers_urls)),
    path("records/rules/", include(packs_urls)),
    path("records/old/", include(old_urls)),
    path("records/hand-over/", selling.page, name="hand-over"),
    path("records/bundle/", bundle.page, name="bundle"),
    path("reports/", include(reports_urls)),
    path(DIFFERENCE, difference.page, name="difference"),
    path(f"{DIFFERENCE}note/", difference.leave, name="difference-note"),
    path(f"{DIFFERENCE}suspects.<slug:ending>", difference.sheet, name="difference-sheet"),
    path("equipment/checks/<int:pk>/doubt/", doubt.page, name="doubt"),
    path("equipment/checks/<int:pk>/doubt/decide/", doubt.settle, name="doubt-settle"),
    path("containers/<str:code>/heel/", heels.heel, name="heel"),
    path("returns/<slug:number>/", returns.page, name="return-slip"),
    path("returns/<slug:number>/pdf/", returns.pdf, name="return-slip-pdf"),
    path("api/", include("compliance.api.urls")),
    path("c/<str:token>/", sharing.opened, name="customer"),
    path("c/<str:token>/pdf/", sharing.opened_pdf, name="customer-pdf"),
    path("check/<str:number>/<int:version>/", papers.check, name="check"),
]
