"""What tests ask a calendar: whether a day is one of its working days."""

from datetime import date

from sizing.workdays import Calendar


def is_workday(calendar: Calendar, day: date) -> bool:
    return calendar.add_workdays(day, 0) == day
