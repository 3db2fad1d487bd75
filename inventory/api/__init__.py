"""The cabinet for programs."""
