"""Addresses of the shop for programs."""

from django.urls import URLPattern, path

from shop.api import equipment, people, schema

urlpatterns: list[URLPattern] = [
    path("", schema.page, name="api-schema"),
    path("people/", people.PersonList.as_view(), name="api-people"),
    path("equipment/", equipment.EquipmentList.as_view(), name="api-equipment"),
]
