"""Addresses of jobs and papers for programs."""

from django.urls import URLPattern, path

from compliance.api import (
    afterwards,
    bends,
    charging,
    closing,
    if_kept,
    jobs,
    papers,
    pumping,
    reports,
    stages,
)

urlpatterns: list[URLPattern] = [
    path("jobs/", jobs.JobList.as_view(), name="api-jobs"),
    path("jobs/<str:number>/", jobs.JobDetail.as_view(), name="api-job"),
    path("jobs/<str:number>/check-in/", jobs.CheckIns.as_view(), name="api-job-check-in"),
    path("jobs/<str:number>/recovery/", stages.Recoveries.as_view(), name="api-job-recovery"),
    path("jobs/<str:number>/leak-check/", stages.LeakChecks.as_view(), name="api-job-leak-check"),
    path("jobs/<str:number>/repair/", stages.Repairs.as_view(), name="api-job-repair"),
    path("jobs/<str:number>/evacuation/", pumping.Evacuations.as_view(), name="api-job-evacuation"),
    path("jobs/<str:number>/leak-test/", pumping.LeakTests.as_view(), name="api-job-leak-test"),
    path("jobs/<str:number>/charge/", charging.JobCharge.as_view(), name="api-job-charge"),
    path("jobs/<str:number>/final-readings/", stages.FinalReadingsOfJob.as_view(), name="api-job-finals"),
    path("jobs/<str:number>/leaving-out/", stages.LeavingOut.as_view(), name="api-job-leaving-out"),
    path("jobs/<str:number>/tickets/", charging.JobTickets.as_view(), name="api-job-tickets"),
    path(
        "jobs/<str:number>/tickets/<int:weighing>/retyping/",
        charging.Retypings.as_view(),
        name="api-job-retyping",
    ),
    path("jobs/<str:number>/if-kept/", if_kept.IfKept.as_view(), name="api-job-if-kept"),
    path("jobs/<str:number>/taking-over/", charging.TakingOver.as_view(), name="api-job-taking-over"),
    path(
        "jobs/<str:number>/taking-off/",
        charging.TakingOff.as_view(),
        name="api-job-taking-off",
    ),
    path("jobs/<str:number>/refiling/", charging.Refiling.as_view(), name="api-job-refiling"),
    path("jobs/<str:number>/mischarges/", bends.Mischarges.as_view(), name="api-job-mischarges"),
    path("jobs/<str:number>/choices/", bends.Choices.as_view(), name="api-job-choices"),
    path("jobs/<str:number>/hand-overs/", bends.HandOvers.as_view(), name="api-job-hand-overs"),
    path("jobs/<str:number>/answers/", bends.Answers.as_view(), name="api-job-answers"),
    path("jobs/<str:number>/closing/", closing.JobClosing.as_view(), name="api-job-closing"),
    path("corrections/", afterwards.Slips.as_view(), name="api-corrections"),
    path("holds/", afterwards.JobHolds.as_view(), name="api-holds"),
    path("usage-report/", reports.UsageReportDraft.as_view(), name="api-usage-report"),
    path("papers/", papers.PaperList.as_view(), name="api-papers"),
    path("papers/<str:number>/<int:version>/", papers.PaperDetail.as_view(), name="api-paper"),
    path("papers/<str:number>/<int:version>/pdf/", papers.PaperPdf.as_view(), name="api-paper-pdf"),
]
