"""The JSON API: the same use cases as the pages, for programs."""
