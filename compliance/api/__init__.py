"""Jobs and papers for programs."""
