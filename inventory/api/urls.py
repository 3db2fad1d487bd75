"""Addresses of the cabinet for programs."""

from django.urls import URLPattern, path

from inventory.api import (
    bills,
    book,
    containers,
    cylinders,
    deliveries,
    moves,
    receiving,
    returns,
    slips,
    stock,
    suppliers,
)

urlpatterns: list[URLPattern] = [
    path("stock/", stock.Stock.as_view(), name="api-stock"),
    path("suppliers/", suppliers.SupplierList.as_view(), name="api-suppliers"),
    path("types/", suppliers.TypeList.as_view(), name="api-types"),
    path("deliveries/", receiving.DeliveryList.as_view(), name="api-deliveries"),
    path("deliveries/<slug:delivery>/", deliveries.DeliveryDetail.as_view(), name="api-delivery"),
    path("deliveries/<slug:delivery>/rest/", slips.DeliveryRest.as_view(), name="api-rest"),
    path("deliveries/<slug:delivery>/not-coming/", slips.DeliveryNotComing.as_view(), name="api-not-coming"),
    path("deliveries/<slug:delivery>/lots/", slips.DeliveryLots.as_view(), name="api-lots"),
    path("deliveries/<slug:delivery>/slips/", slips.DeliverySlips.as_view(), name="api-slips"),
    path("deliveries/<slug:delivery>/merging/", slips.DeliveryMerging.as_view(), name="api-merging"),
    path("deliveries/<slug:delivery>/undoing/", slips.DeliveryUndoing.as_view(), name="api-undoing"),
    path("deliveries/<slug:delivery>/damages/", returns.DeliveryDamages.as_view(), name="api-damages"),
    path("deliveries/<slug:delivery>/returns/", returns.DeliveryReturns.as_view(), name="api-returns"),
    path("deliveries/<slug:delivery>/invoices/", bills.DeliveryInvoices.as_view(), name="api-invoices"),
    path("deliveries/<slug:delivery>/credits/", bills.DeliveryCredits.as_view(), name="api-credits"),
    path("containers/", containers.ContainerList.as_view(), name="api-containers"),
    path("containers/<slug:code>/", containers.ContainerDetail.as_view(), name="api-container"),
    path("containers/<slug:code>/outcome/", containers.ContainerOutcome.as_view(), name="api-outcome"),
    path("containers/<slug:code>/tickets/", containers.Tickets.as_view(), name="api-tickets"),
    path("cylinders/", cylinders.CylinderList.as_view(), name="api-cylinders"),
    path("cylinders/<slug:cylinder>/", cylinders.CylinderDetail.as_view(), name="api-cylinder"),
    path("spots/", moves.SpotList.as_view(), name="api-spots"),
    path("moves/", moves.MoveList.as_view(), name="api-moves"),
    path("arrivals/", moves.ArrivalList.as_view(), name="api-arrivals"),
    path("book/", book.BookList.as_view(), name="api-book"),
    path("book/months/", book.MonthList.as_view(), name="api-book-months"),
    path("book/days/<slug:day>/", book.BookDay.as_view(), name="api-book-day"),
    path(
        "book/days/<slug:day>/containers/",
        book.BookDayContainers.as_view(),
        name="api-book-day-containers",
    ),
]
