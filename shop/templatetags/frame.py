"""What the frame of a page asks of the page inside it."""

from __future__ import annotations

from django import template
from django.template.context import Context
from django.utils.safestring import SafeString, mark_safe

register = template.Library()
PARTS: dict[
    str, list[str]
] = {  # templates that other apps hang into a page: every one, or the one of this name
    "scripts": [],
    "above": [],
    "receiving": [],
}


@register.simple_tag(takes_context=True)
def parts(context: Context, place: str) -> SafeString:
    """What other apps put into this place of the page (``PARTS``, filled as an app gets ready)."""
    engine = context.template.engine  # type: ignore[union-attr]
    drawn = [engine.get_template(name).render(context) for name in PARTS[place]]
    return mark_safe("".join(drawn))  # noqa: S308 - templates of our own, escaped as they were drawn


@register.simple_block_tag
def kept(content: str) -> str:
    """Keep the text of a block under a name instead of printing it: ``{% kept as here %}…{% endkept %}``."""
    return content.strip()
