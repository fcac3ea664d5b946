"""Which route."""
