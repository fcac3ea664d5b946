"""The program that runs it."""
