"""The command line: reads, calls one use case, shows."""
