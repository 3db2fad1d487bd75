"""One spelling for facts: the bytes that are stored, hashed and drawn from."""

from __future__ import annotations

import dataclasses
import hashlib
import json
import types
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

Facts = TypeVar("Facts")


def canonical(facts: object) -> str:
    """JSON with sorted keys and no spare spaces; floats are refused, since they do not come back as typed."""
    return json.dumps(_plain(facts), sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def sha256(text: str | bytes) -> str:
    """The SHA-256 of a text (as UTF-8) or of bytes, in lower-case hexadecimal."""
    return hashlib.sha256(text.encode() if isinstance(text, str) else text).hexdigest()


def rebuild(cls: type[Facts], text: str) -> Facts:
    """The dataclass that ``canonical`` wrote down."""
    built = _built(cls, json.loads(text))
    if not isinstance(built, cls):
        raise TypeError(f"not the facts of a {cls.__name__}")
    return built


def _plain(value: object) -> object:
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {field.name: _plain(getattr(value, field.name)) for field in dataclasses.fields(value)}
    if isinstance(value, tuple | list):
        return [_plain(item) for item in value]
    if isinstance(value, dict):
        return {str(key): _plain(item) for key, item in value.items()}
    if value is None or isinstance(value, str | int):
        return value
    raise TypeError(f"facts hold text, whole numbers and lists of them, not {type(value).__name__}")


def _built(kind: Any, value: Any) -> Any:
    if value is None or kind in (str, int, bool):
        return value
    if dataclasses.is_dataclass(kind) and isinstance(kind, type):
        hints = get_type_hints(kind)
        return kind(**{name: _built(hints[name], item) for name, item in value.items()})
    origin, inner = get_origin(kind), get_args(kind)
    if origin in (Union, types.UnionType):
        return _built(next(option for option in inner if option is not type(None)), value)
    if origin is tuple:
        kinds = [inner[0]] * len(value) if inner[-1] is Ellipsis else list(inner)
        return tuple(_built(part, item) for part, item in zip(kinds, value, strict=True))
    return value
