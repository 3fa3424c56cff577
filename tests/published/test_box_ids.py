"""Check characters against published ones; sources in examples.json."""

from ledger.reckoning.box_ids import check_character, valid


def test_cd_02_mod_37_36(published):
    """A12425GABC1234002 is checked by M."""
    (body,), (check,) = published["CD-02"]["inputs"], published["CD-02"]["expected"]
    assert check_character(body) == check
    assert valid(body + check)
