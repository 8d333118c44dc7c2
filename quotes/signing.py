"""Signs what a program is told: HTTP Message Signatures (RFC 9421) with HMAC-SHA256. Knows no Django.

The body is signed by its Content-Digest (RFC 9530), so whoever checks the signature and the digest
knows that the desk sent it, when, and that nothing was changed.
"""

from __future__ import annotations

import hmac
from base64 import b64encode
from collections.abc import Sequence
from hashlib import sha256


def signature_base(components: Sequence[tuple[str, str]], parameters: str) -> str:
    """What is signed (RFC 9421, 2.5): a line for each (name, value), then the parameters."""
    lines = [f'"{name}": {value}' for name, value in components]
    return "\n".join([*lines, f'"@signature-params": {parameters}'])


def parameters_of(components: Sequence[tuple[str, str]], created: int, keyid: str) -> str:
    """("@method" "content-digest");created=1618884473;keyid="till";alg="hmac-sha256" """
    names = " ".join(f'"{name}"' for name, _ in components)
    return f'({names});created={created};keyid="{keyid}";alg="hmac-sha256"'


def signature(key: bytes, base: str) -> str:
    return b64encode(hmac.digest(key, base.encode(), "sha256")).decode()


def signed_headers(
    key: bytes, url: str, body: bytes, *, created: int, keyid: str
) -> dict[str, str]:
    """The headers of a POST of this body to this address. `keyid`: ASCII without quotes."""
    digest = f"sha-256=:{b64encode(sha256(body).digest()).decode()}:"
    components = [("@method", "POST"), ("@target-uri", url), ("content-digest", digest)]
    parameters = parameters_of(components, created, keyid)
    made = signature(key, signature_base(components, parameters))
    return {
        "Content-Digest": digest,
        "Signature-Input": f"desk={parameters}",
        "Signature": f"desk=:{made}:",
    }
