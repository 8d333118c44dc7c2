"""What mails about quotes and enquiries say, and to whom; sending them is `quotes.post`. No Django."""

# Subject and body.
Text = tuple[str, str]
