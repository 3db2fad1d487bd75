"""Papers on paper: a ``Paper`` goes in, the bytes of an archivable PDF come out."""
