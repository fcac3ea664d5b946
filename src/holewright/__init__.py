"""holewright."""
