"""Addresses of jobs and papers for programs."""

from django.urls import URLPattern, path

from compliance.api import papers

urlpatterns: list[URLPattern] = [
    path("papers/", papers.PaperList.as_view(), name="api-papers"),
    path("papers/<str:number>/<int:version>/", papers.PaperDetail.as_view(), name="api-paper"),
    path("papers/<str:number>/<int:version>/pdf/", papers.PaperPdf.as_view(), name="api-paper-pdf"),
]
