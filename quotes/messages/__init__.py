"""Reads what a customer wrote, or a clerk noted on the telephone, into openings for the desk.

`read_message` takes plain text and a family's size table and gives what it is sure of, each with the
words it came from. What looks like a length or a count and could not be placed is named as unsure.
No Django here; lengths and weights are read by `sizing`.
"""

from quotes.messages.contact import Contact
from quotes.messages.numbers import whole_number
from quotes.messages.reader import LONGEST, Message, read_message
from quotes.messages.settle import ReadOpening, Total
from quotes.messages.stretch import Stretch

__all__ = [
    "LONGEST",
    "Contact",
    "Message",
    "ReadOpening",
    "Stretch",
    "Total",
    "read_message",
    "whole_number",
]
