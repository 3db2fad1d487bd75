"""Addresses of the cabinet."""

from django.urls import URLPattern, include, path

from inventory import api
from inventory.views import (
    book,
    cabinet,
    containers,
    counts,
    cylinders,
    deliveries,
    moves,
    prices,
    suppliers,
    swapping,
    types,
)

containers_patterns: list[URLPattern] = [
    path("swapped/", swapping.swap, name="swap"),
    path("<slug:code>/mixed/", swapping.mixed, name="mixed"),
    path("<slug:code>/air/", cylinders.air, name="air"),
    path("<slug:code>/", containers.page, name="page"),
    path("<slug:code>/weigh/", containers.weigh, name="weigh"),
]
deliveries_patterns: list[URLPattern] = [
    path("", deliveries.listing, name="list"),
    path("new/", deliveries.new, name="new"),
    path("<slug:number>/", deliveries.page, name="page"),
    path("<slug:number>/invoice/", deliveries.invoice, name="invoice"),
    path("<slug:number>/undo/", deliveries.undo, name="undo"),
]
counts_patterns: list[URLPattern] = [
    path("", counts.listing, name="list"),
    path("new/", counts.new, name="new"),
    path("opening/", counts.opening, name="opening"),
    path("<int:pk>/", counts.page, name="page"),
]
moves_patterns: list[URLPattern] = [
    path("", moves.listing, name="list"),
    path("new/", moves.new, name="new"),
    path("spot/", moves.new_spot, name="spot"),
    path("<int:pk>/arrived/", moves.arrived, name="arrived"),
]

urlpatterns = [
    path("api/book/", api.BookList.as_view(), name="api-book"),
    path("cabinet/", cabinet.cabinet, name="cabinet"),
    path("containers/", include((containers_patterns, "containers"))),
    path("deliveries/", include((deliveries_patterns, "deliveries"))),
    path("moves/", include((moves_patterns, "moves"))),
    path("counts/", include((counts_patterns, "counts"))),
    path("cylinders/", include(([path("new/", cylinders.new, name="new")], "cylinders"))),
    path("types/", include(([path("new/", types.new, name="new")], "types"))),
    path("suppliers/", include(([path("new/", suppliers.new, name="new")], "suppliers"))),
    path("value/", prices.page, name="value"),
    path("value.<slug:ending>", prices.download, name="value-sheet"),
    path("book/", include(([path("", book.listing, name="list")], "book"))),
]
