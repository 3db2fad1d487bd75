"""What the frame of a page asks of the page inside it."""

from __future__ import annotations

from django import template

register = template.Library()


@register.simple_block_tag
def kept(content: str) -> str:
    """Keep the text of a block under a name instead of printing it: ``{% kept as here %}…{% endkept %}``."""
    return content.strip()
