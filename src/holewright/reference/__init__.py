"""Published tables, read once from the package, each row with its source."""
