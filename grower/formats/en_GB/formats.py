"""How days are written and read."""

DATE_FORMAT = "j\u00a0M\u00a0Y"  # a day is never broken over lines
SHORT_DATE_FORMAT = DATE_FORMAT
DATE_INPUT_FORMATS = ["%Y-%m-%d", "%d/%m/%Y", "%d %b %Y", "%d %B %Y"]
