"""Every address that the site answers, read from its own table."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.urls import URLPattern, URLResolver, get_resolver


@dataclass(frozen=True)
class Address:
    """A named address and the words it wants filled in."""

    name: str
    wanted: frozenset[str]


def addresses(patterns: list, prefix: str = "", wanted: frozenset[str] = frozenset()) -> Iterator[Address]:
    """List every address that the site answers, by name; one without a name is listed by what it looks like."""
    for pattern in patterns:
        words = wanted | frozenset(pattern.pattern.regex.groupindex)
        if isinstance(pattern, URLResolver):
            inner = f"{prefix}{pattern.namespace}:" if pattern.namespace else prefix
            yield from addresses(pattern.url_patterns, inner, words)
        elif isinstance(pattern, URLPattern):
            yield Address(prefix + (pattern.name or f"(no name) {pattern.pattern}"), words)


ADDRESSES = sorted(addresses(get_resolver().url_patterns), key=lambda address: address.name)
