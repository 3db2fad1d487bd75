"""A program's tests begin with the same car and cans as a technician's."""

from tests.compliance.conftest import bay, cans

__all__ = ["bay", "cans"]
