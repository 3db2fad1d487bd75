"""Reads about jobs and papers."""

from compliance.queries.jobs import closed_jobs, open_jobs, vehicle_history
from compliance.queries.papers import chain, current_document, documents, paper_state
from compliance.queries.sharing import link_with, links_of, newest_certificate
from compliance.queries.sheets import CanOnJob, Sheet, job_sheet

__all__ = [
    "CanOnJob",
    "Sheet",
    "chain",
    "closed_jobs",
    "current_document",
    "documents",
    "job_sheet",
    "link_with",
    "links_of",
    "newest_certificate",
    "open_jobs",
    "paper_state",
    "vehicle_history",
]
