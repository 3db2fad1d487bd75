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
    hoses,
    suppliers,
    swapping,
    types,
)

containers_patterns: list[URLPattern] = [
    path("swapped/", swapping.swap, name="swap"),
    path("<slug:code>/mixed/", swapping.mixed, name="mixed"),
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
hoses_patterns: list[URLPattern] = [
    path("", hoses.listing, name="list"),
    path("new/", hoses.new, name="new"),
    path("<slug:number>/", hoses.page, name="page"),
    path("<slug:number>/adopt/", hoses.adopt, name="adopt"),
]

urlpatterns = [
    path("api/book/", api.BookList.as_view(), name="api-book"),
    path("cabinet/", cabinet.cabinet, name="cabinet"),
    path("containers/", include((containers_patterns, "containers"))),
    path("deliveries/", include((deliveries_patterns, "deliveries"))),
    path("counts/", include((counts_patterns, "counts"))),
    path("hoses/", include((hoses_patterns, "hoses"))),
    path("cylinders/", include(([path("new/", cylinders.new, name="new")], "cylinders"))),
    path("types/", include(([path("new/", types.new, name="new")], "types"))),
    path("suppliers/", include(([path("new/", suppliers.new, name="new")], "suppliers"))),
    path("book/", include(([path("", book.listing, name="list")], "book"))),
]
