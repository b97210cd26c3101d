"""Campaigns: labs made up step by step, on which forecasts and verdicts are held against what really happened."""
