"""Spanish days with English numbers: a scale shows 466.5, and so does the page beside it, in every language."""

from django.conf.locale.en.formats import (  # type: ignore[import-untyped]
    DATE_INPUT_FORMATS,
    DATETIME_INPUT_FORMATS,
    DECIMAL_SEPARATOR,
    FIRST_DAY_OF_WEEK,
    NUMBER_GROUPING,
    THOUSAND_SEPARATOR,
    TIME_FORMAT,
    TIME_INPUT_FORMATS,
)

__all__ = [
    "DATETIME_INPUT_FORMATS",
    "DATE_INPUT_FORMATS",
    "DECIMAL_SEPARATOR",
    "FIRST_DAY_OF_WEEK",
    "NUMBER_GROUPING",
    "THOUSAND_SEPARATOR",
    "TIME_FORMAT",
    "TIME_INPUT_FORMATS",
]

DATE_FORMAT = "j b Y"
DATETIME_FORMAT = "j b Y, H:i"
MONTH_DAY_FORMAT = "j b"
SHORT_DATETIME_FORMAT = "j b, H:i"
YEAR_MONTH_FORMAT = r"F \d\e Y"
SHORT_DATE_FORMAT = "D j b"
