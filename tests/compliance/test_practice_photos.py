"""The practice shop's photos: words on a sheet, and the same words give the same bytes."""

from __future__ import annotations

import pytest

from compliance.management.practice import seed
from compliance.models import Photo
from compliance.queries.whole_book import whole_book_findings
from tests.compliance.pictures import opened

pytestmark = pytest.mark.one_engine


@pytest.mark.django_db
def test_the_practice_shop_has_photos_of_two_jobs() -> None:
    seed()

    photos = Photo.objects.select_related("job").order_by("pk")
    assert [(photo.what, photo.stage) for photo in photos] == [
        ("label", "check-in"),
        ("label", "check-in"),
        ("scale", "charge"),
    ]
    assert len({photo.job_id for photo in photos}) == 2
    assert {opened(bytes(photo.jpeg)).size for photo in photos} == {(1200, 900)}
    assert photos[0].sha256 == photos[1].sha256  # both labels say 500 g +/- 20 g
    assert whole_book_findings() == []
