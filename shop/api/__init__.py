"""The shop for programs: the same rows, services and refusals as the pages."""
