"""Verifying a paper from its file alone: no service, no database, no network, and no firm.

Nothing here knows the framework or the records; `python -m reports.verification FILE.pdf` runs it,
and `reports.verification.build` makes one file of it that does.
"""
