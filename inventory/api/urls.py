"""Addresses of the cabinet for programs."""

from django.urls import URLPattern, path

from inventory.api import book, containers

urlpatterns: list[URLPattern] = [
    path("containers/", containers.ContainerList.as_view(), name="api-containers"),
    path("containers/<slug:code>/", containers.ContainerDetail.as_view(), name="api-container"),
    path("containers/<slug:code>/tickets/", containers.Tickets.as_view(), name="api-tickets"),
    path("book/", book.BookList.as_view(), name="api-book"),
]
