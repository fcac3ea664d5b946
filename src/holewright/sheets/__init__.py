"""Pictures and papers: the zone strip, the hole section, the sheets."""
