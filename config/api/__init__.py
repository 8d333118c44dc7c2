"""The desk's JSON API: the same questions as at the counter, for a web shop or another program."""
