"""Addresses of the cabinet."""

from django.urls import URLPattern, include, path

from inventory.views import (
    attached,
    book,
    cabinet,
    containers,
    counts,
    cylinders,
    deliveries,
    ending,
    found,
    hoses,
    imports,
    invoices,
    moves,
    opening,
    prices,
    returns,
    slips,
    suppliers,
    swapping,
    types,
)

containers_patterns: list[URLPattern] = [
    path("known/", containers.known, name="known"),
    path("swapped/", swapping.swap, name="swap"),
    path("empties/", ending.empty_cans, name="empties"),
    path("found/", found.new, name="found"),
    path("<slug:code>/ended/", ending.ended, name="ended"),
    path("<slug:code>/accept/", found.accept, name="accept"),
    path("<slug:code>/found.jpg", found.photo, name="found-photo"),
    path("<slug:code>/mixed/", swapping.mixed, name="mixed"),
    path("<slug:code>/air/", cylinders.air, name="air"),
    path("<slug:code>/", containers.page, name="page"),
    path("<slug:code>/weigh/", containers.weigh, name="weigh"),
]
deliveries_patterns: list[URLPattern] = [
    path("", deliveries.listing, name="list"),
    path("new/", deliveries.new, name="new"),
    path("<slug:number>/", deliveries.page, name="page"),
    path("<slug:number>/rest/", slips.rest, name="rest"),
    path("<slug:number>/rest/<int:line>/drop/", slips.drop, name="drop"),
    path("<slug:number>/lots/", slips.lots, name="lots"),
    path("<slug:number>/merge/", slips.merge, name="merge"),
    path("<slug:number>/papers/new/", slips.attach, name="attach"),
    path("<slug:number>/papers/<int:pk>/", slips.paper, name="paper"),
    path("<slug:number>/invoice/", invoices.add, name="invoice"),
    path("<slug:number>/invoice/<int:pk>/", invoices.right, name="right"),
    path("<slug:number>/damaged/<slug:code>/", returns.damage, name="damage"),
    path("<slug:number>/back/", returns.back, name="back"),
    path("<slug:number>/deposit/", returns.deposit, name="deposit"),
    path("<slug:number>/undo/", deliveries.undo, name="undo"),
]
# Put in by compliance/urls, whose page of a new count knows what hangs on a car.
counts_patterns: list[URLPattern] = [
    path("", counts.listing, name="list"),
    path("opening/", opening.new, name="opening"),
    path("paused/<int:pk>/drop/", counts.drop, name="drop"),
    path("<int:pk>/", counts.page, name="page"),
]
moves_patterns: list[URLPattern] = [
    path("", moves.listing, name="list"),
    path("new/", moves.new, name="new"),
    path("spot/", moves.new_spot, name="spot"),
    path("<int:pk>/arrived/", moves.arrived, name="arrived"),
]
hoses_patterns: list[URLPattern] = [
    path("", hoses.listing, name="list"),
    path("new/", hoses.new, name="new"),
    path("<slug:number>/", hoses.page, name="page"),
    path("<slug:number>/adopt/", hoses.adopt, name="adopt"),
]
types_patterns: list[URLPattern] = [
    path("", types.listing, name="list"),
    path("new/", types.new, name="new"),
    path("<int:pk>/", types.page, name="page"),
    path("<int:pk>/adopt/", types.adopt, name="adopt"),
]
earlier_patterns: list[URLPattern] = [
    path("", attached.listing, name="list"),
    path("new/", attached.new, name="new"),
    path("<int:pk>/", attached.paper, name="paper"),
    path("<int:pk>/aside/", attached.aside, name="aside"),
]
import_patterns: list[URLPattern] = [
    path("", imports.new, name="new"),
    path("look/", imports.look, name="look"),
    path("<int:pk>/", imports.page, name="page"),
    path("template/<slug:what>.<slug:ending>", imports.template, name="template"),
]

urlpatterns = [
    path("api/", include("inventory.api.urls")),
    path("cabinet/", cabinet.cabinet, name="cabinet"),
    path("containers/", include((containers_patterns, "containers"))),
    path("deliveries/", include((deliveries_patterns, "deliveries"))),
    path("moves/", include((moves_patterns, "moves"))),
    path("returns/", include(([path("<slug:number>/credit/", returns.credit, name="credit")], "returns"))),
    path("hoses/", include((hoses_patterns, "hoses"))),
    path("cylinders/", include(([path("new/", cylinders.new, name="new")], "cylinders"))),
    path("records/earlier/", include((earlier_patterns, "earlier"))),
    path("import/", include((import_patterns, "import"))),
    path("types/", include((types_patterns, "types"))),
    path("suppliers/", include(([path("new/", suppliers.new, name="new")], "suppliers"))),
    path("value/", prices.page, name="value"),
    path("value.<slug:ending>", prices.download, name="value-sheet"),
    path("book/", include(([path("", book.listing, name="list")], "book"))),
]
