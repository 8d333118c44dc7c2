"""HMAC signatures of HTTP messages against the example that the standard publishes.

RFC 9421, "HTTP Message Signatures", appendix B.2.5 (from memory; that the published signature comes
out shows that it was remembered right).
"""

from base64 import b64decode

from quotes.signing import signature, signature_base

SECRET = "uzvJfB4u3N0Jy4T7NZ75MDVcr8zSTInedJtkgcu46YW4XByzNJjxBdtjUkdJPBtbmHhIDi6pcl8jsasjlTMtDQ=="
PUBLISHED = "pxcQw6G3AjtMBQjwo8XzkZf/bws5LelbaMk5rGIGtE8="


def test_example_of_the_standard():
    """The published request, signed with the published secret, has the published signature."""
    base = signature_base(
        [
            ("date", "Tue, 20 Apr 2021 02:07:55 GMT"),
            ("@authority", "example.com"),
            ("content-type", "application/json"),
        ],
        '("date" "@authority" "content-type");created=1618884473;keyid="test-shared-secret"',
    )
    assert signature(b64decode(SECRET), base) == PUBLISHED
