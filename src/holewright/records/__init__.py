"""The record book: what the shop has learnt stays. Rooms below it don't know it."""
