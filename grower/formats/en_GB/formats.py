"""How days are written and read."""

DATE_FORMAT = "j M Y"
SHORT_DATE_FORMAT = "j M Y"
DATE_INPUT_FORMATS = ["%Y-%m-%d", "%d/%m/%Y", "%d %b %Y", "%d %B %Y"]
