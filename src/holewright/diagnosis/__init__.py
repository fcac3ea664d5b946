"""From what is seen on a hole to what causes it, by this job's own data."""
