"""Federal paragraphs as small functions; each names the paragraph that it was read in."""
