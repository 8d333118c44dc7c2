"""What was learned of a factory's past as bytes, and back: the same to the last bit.

A line of JSON, in which an array is its number, and the arrays after it. Only the kinds listed here
are read back, so that a stored fit can be nothing but numbers. Django is not known here.
"""

from __future__ import annotations

import json
from dataclasses import fields, is_dataclass
from datetime import date
from typing import Any

import numpy as np

from ordering.estimator.forecast import Fits, Promises
from ordering.estimator.learned import Declared, Learned, Part, Shipped
from ordering.estimator.level import Fit, Level
from ordering.estimator.survival import Curve
from ordering.estimator.window import Outlook, Track
from sizing.workdays import Calendar

KINDS: dict[str, Any] = {
    kind.__name__: kind
    for kind in (Calendar, Curve, Declared, Fit, Fits, Learned, Level, Outlook, Part, Promises,
                 Shipped, Track)
}  # fmt: skip
SEQUENCES: dict[str, Any] = {kind.__name__: kind for kind in (tuple, list, frozenset)}


def packed(learned: Learned) -> bytes:
    arrays: list[np.ndarray] = []
    tree = _plain(learned, arrays)
    shapes = [(array.dtype.str, array.shape) for array in arrays]
    head = json.dumps([tree, shapes], separators=(",", ":")).encode()
    body = [np.ascontiguousarray(array).tobytes() for array in arrays]
    return b"".join([head, b"\n", *body])


def unpacked(data: bytes) -> Learned:
    """Raises ValueError or LookupError for bytes that `packed` did not make."""
    end = data.index(b"\n")
    tree, shapes = json.loads(data[:end])
    arrays, at = [], end + 1
    for kind, shape in shapes:
        count = int(np.prod(shape))
        array = np.frombuffer(data, np.dtype(kind), count, at).reshape(shape)
        arrays.append(array)
        at += array.nbytes
    return _whole(tree, arrays)


def _plain(value: Any, arrays: list[np.ndarray]) -> Any:
    """A value as JSON: what is not plain stands as [kind, content]."""
    if is_dataclass(value):
        own = [f.name for f in fields(value) if f.init and not f.name.startswith("_")]
        return [type(value).__name__, [_plain(getattr(value, name), arrays) for name in own]]
    if isinstance(value, np.ndarray):
        arrays.append(value)
        return ["array", len(arrays) - 1]
    if isinstance(value, date):
        return ["date", value.isoformat()]
    if isinstance(value, tuple | list | frozenset):
        return [type(value).__name__, [_plain(item, arrays) for item in value]]
    return value.item() if isinstance(value, np.generic) else value


def _whole(value: Any, arrays: list[np.ndarray]) -> Any:
    if not isinstance(value, list):
        return value
    kind, content = value
    if kind == "array":
        return arrays[content]
    if kind == "date":
        return date.fromisoformat(content)
    items = [_whole(item, arrays) for item in content]
    return SEQUENCES[kind](items) if kind in SEQUENCES else KINDS[kind](*items)
