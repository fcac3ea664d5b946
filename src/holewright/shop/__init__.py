"""What stands in the shop."""
