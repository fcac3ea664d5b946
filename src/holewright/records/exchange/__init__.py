"""The record book out to plain files and back: CSV, Parquet, JSON and QIF."""
