"""Addresses of jobs and papers for programs."""

from django.urls import URLPattern, path

from compliance.api import counts, papers, shipments

urlpatterns: list[URLPattern] = [
    path("counts/", counts.CountList.as_view(), name="api-counts"),
    path("counts/<int:count>/", counts.CountDetail.as_view(), name="api-count"),
    path("facilities/", shipments.FacilityList.as_view(), name="api-facilities"),
    path("shipments/", shipments.ShipmentList.as_view(), name="api-shipments"),
    path("shipments/<slug:shipment>/", shipments.ShipmentDetail.as_view(), name="api-shipment"),
    path("shipments/<slug:shipment>/receipt/", shipments.ShipmentReceipt.as_view(), name="api-receipt"),
    path("papers/", papers.PaperList.as_view(), name="api-papers"),
    path("papers/<str:number>/<int:version>/", papers.PaperDetail.as_view(), name="api-paper"),
    path("papers/<str:number>/<int:version>/pdf/", papers.PaperPdf.as_view(), name="api-paper-pdf"),
]
