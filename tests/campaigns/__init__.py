"""Campaigns: long trials that anyone can repeat, each at the size that `CAMPAIGN` names (default 1)."""
