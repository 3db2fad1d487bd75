"""What the one search box looks in. Made from the other rows, and made again by ``manage.py refind``."""

from __future__ import annotations

from django.db import models

from shop.models.shop import Establishment


class SearchTail(models.Model):
    """One ending of one word that a thing is found by. What somebody types is the beginning of it.

    The ending is bytes and not text, so that "begins with" is the same range of the index on both databases, in
    every language that a database may sort by.
    """

    establishment = models.ForeignKey(
        Establishment, on_delete=models.CASCADE, related_name="+", db_index=False
    )
    kind = models.CharField(max_length=12)
    key = models.CharField(max_length=40)
    word = models.CharField(max_length=40)
    tail = models.BinaryField()
    inner = models.BooleanField("not the whole word")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["establishment", "kind", "key", "tail"], name="thing_has_a_tail_once"
            )
        ]
        indexes = [models.Index(fields=["establishment", "inner", "tail", "-id"], name="tails_by_beginning")]
