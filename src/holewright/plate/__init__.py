"""Test plates: which holes to cut at which settings, and what they show."""
