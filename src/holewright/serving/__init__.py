"""Puts pages and API behind one guarded address."""
