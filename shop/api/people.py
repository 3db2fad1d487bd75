"""People and their 609 cards: read only."""

from __future__ import annotations

from django.db.models import QuerySet
from django.utils import timezone
from rest_framework import serializers

from shop.api.base import Lists, reads
from shop.core.scopes import Scope
from shop.http import now, say
from shop.models import Card, Person
from shop.permissions import EVERYONE
from shop.queries import people, work_day


class CardOut(serializers.Serializer[Card]):
    """A 609 card as it was put on file."""

    program = serializers.CharField()
    number = serializers.CharField()
    issued_on = serializers.DateField()


class PersonOut(serializers.Serializer[Person]):
    """Somebody who signs or signed here, and whether a refrigerant stage may bear their name today."""

    id = serializers.IntegerField()
    name = serializers.CharField()
    role = serializers.CharField()
    may_sign_on = serializers.BooleanField(source="is_active")
    cards = CardOut(many=True)
    card_in_force = serializers.SerializerMethodField()
    why = serializers.SerializerMethodField(help_text="The work-day check of today, in words.")

    def get_card_in_force(self, person: Person) -> bool:
        return work_day(person, timezone.localdate(now())).in_force

    def get_why(self, person: Person) -> str:
        return say(work_day(person, timezone.localdate(now())).sentence)


class PersonList(Lists):
    """Everyone of the shop, leavers too, with their 609 cards."""

    opens = reads(EVERYONE, Scope.PEOPLE_READ)
    gives = PersonOut
    model = Person

    def rows(self) -> QuerySet[Person]:
        return people(self.house)
