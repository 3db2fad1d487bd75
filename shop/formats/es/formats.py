"""The English formats under their names: a scale shows 466.5, and so does the page beside it, in every language."""

from django.conf.locale.en.formats import (  # type: ignore[import-untyped]
    DATE_FORMAT,
    DATE_INPUT_FORMATS,
    DATETIME_FORMAT,
    DATETIME_INPUT_FORMATS,
    DECIMAL_SEPARATOR,
    FIRST_DAY_OF_WEEK,
    MONTH_DAY_FORMAT,
    NUMBER_GROUPING,
    SHORT_DATE_FORMAT,
    SHORT_DATETIME_FORMAT,
    THOUSAND_SEPARATOR,
    TIME_FORMAT,
    TIME_INPUT_FORMATS,
    YEAR_MONTH_FORMAT,
)

__all__ = [
    "DATETIME_FORMAT",
    "DATETIME_INPUT_FORMATS",
    "DATE_FORMAT",
    "DATE_INPUT_FORMATS",
    "DECIMAL_SEPARATOR",
    "FIRST_DAY_OF_WEEK",
    "MONTH_DAY_FORMAT",
    "NUMBER_GROUPING",
    "SHORT_DATETIME_FORMAT",
    "SHORT_DATE_FORMAT",
    "THOUSAND_SEPARATOR",
    "TIME_FORMAT",
    "TIME_INPUT_FORMATS",
    "YEAR_MONTH_FORMAT",
]
