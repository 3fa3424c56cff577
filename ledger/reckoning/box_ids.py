"""Box ids: four letters or digits and a check character.

The check character is ISO 7064 mod 37,36, which catches any one wrong
character and any two neighbours swapped.
"""

CHARACTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
CLEAR = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"
LENGTH = 4
MODULUS = len(CHARACTERS)


def check_character(body: str) -> str:
    """Return the check character of a body of digits and capital letters.

    Raises ValueError for an empty body or another character.

    >>> check_character("A12425GABC1234002")
    'M'
    """
    if not body or any(character not in CHARACTERS for character in body):
        raise ValueError(f"{body!r} is not made of digits and capital letters")
    return CHARACTERS[(1 - _doubled(_sum(body))) % MODULUS]


def _sum(code: str) -> int:
    total = MODULUS // 2  # doubled at once to MODULUS, where the standard starts
    for character in code:
        total = (_doubled(total) + CHARACTERS.index(character)) % MODULUS
    return total


def _doubled(total: int) -> int:
    return (total or MODULUS) * 2 % (MODULUS + 1)


def valid(code: str) -> bool:
    """Say whether a code, already normalised, ends in its check character."""
    if len(code) < 2 or any(character not in CHARACTERS for character in code):
        return False
    return check_character(code[:-1]) == code[-1]


def normalise(typed: str) -> str:
    """Return what was typed or scanned in capitals, without spaces and hyphens.

    >>> normalise(" 7k-2m ")
    '7K2M'
    """
    return "".join(typed.split()).replace("-", "").upper()


def box_code(serial: int) -> str:
    """Return the id of the box with a serial number from nil on.

    The four characters before the check leave out O, 0, I and 1, which look
    alike on a label. Raises ValueError below nil and when all are used.

    >>> box_code(0), box_code(1)
    ('2222E', '2223C')
    """
    if not 0 <= serial < len(CLEAR) ** LENGTH:
        raise ValueError(f"there is no box with the number {serial}")
    body = ""
    for _ in range(LENGTH):
        serial, place = divmod(serial, len(CLEAR))
        body = CLEAR[place] + body
    return body + check_character(body)
