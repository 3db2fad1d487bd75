"""Addresses of the bay, the papers, Today and Find."""

from django.urls import include, path

from compliance import api
from compliance.views import (
    bends,
    binder,
    bundle,
    card_copies,
    case_files,
    charging,
    charts,
    control,
    corrections,
    counts,
    difference,
    doubt,
    find,
    heels,
    holds,
    jobs,
    labels,
    leaving,
    old_records,
    packs,
    papers,
    passes,
    people,
    photos,
    recall,
    reports,
    returns,
    selling,
    sharing,
    sheets,
    shipments,
    stages,
    statements,
    sums,
    tables,
    today,
    visitor,
    visits,
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
DIFFERENCE = "counts/<int:pk>/difference/<str:refrigerant>/"
urlpatterns = [
    path("visits/", include(visits_urls)),
    path("visitor/", include(visitor_urls)),
    path("binder/", include(binder_urls)),
    path("", today.today, name="today"),
    path("bay-worker.js", waiting.worker, name="bay-worker"),
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
    path("api/papers/", api.PaperList.as_view(), name="api-papers"),
    path("api/papers/<str:number>/<int:version>/", api.PaperDetail.as_view(), name="api-paper"),
    path("c/<str:token>/", sharing.opened, name="customer"),
    path("c/<str:token>/pdf/", sharing.opened_pdf, name="customer-pdf"),
    path("check/<str:number>/<int:version>/", papers.check, name="check"),
]
