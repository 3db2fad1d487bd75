"""Random data comes back the same on every run, and no example fails for being slow."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("core", deadline=None, derandomize=True, max_examples=100)
settings.load_profile("core")
