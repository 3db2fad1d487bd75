"""How days are written in English: "Apr 3 2024". Templates name these formats and never spell one out."""

DATE_FORMAT = "M j Y"
DATETIME_FORMAT = "M j Y, H:i"
MONTH_DAY_FORMAT = "M j"
SHORT_DATETIME_FORMAT = "M j, H:i"
YEAR_MONTH_FORMAT = "F Y"
SHORT_DATE_FORMAT = "D M j"
