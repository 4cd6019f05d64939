"""Long lists: narrowed by an address that can be shared, and shown in parts."""

from typing import Any

from django.core.paginator import Page, Paginator
from django.http import HttpRequest

PART = 50
LARGEST_PART = 150


def part_of(request: HttpRequest, rows: Any, *, size: int = PART) -> Page[Any]:
    """Give the part of a list that the address asks for; an address beyond its ends gives the nearest part."""
    return Paginator(rows, min(size, LARGEST_PART)).get_page(request.GET.get("page"))


def narrowed(filter_set: Any) -> Any:
    """Give what a filter lets through; one that cannot be read lets nothing through and says why."""
    return filter_set.qs if filter_set.is_valid() else filter_set.queryset.none()
