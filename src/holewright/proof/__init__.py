"""Whether it may be released."""
