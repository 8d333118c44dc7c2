"""The lead-time estimator: from one factory's past orders to windows and why they are so. No Django, no database.

Dates and plain data in, dates and words out; `ordering.reading` reads the past for it, `ordering.fits` keeps what
was learned.
"""
