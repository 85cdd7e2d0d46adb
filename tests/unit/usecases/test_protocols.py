"""A shipped protocol is written to a file, changed, and read as somebody's own."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.domain.errors import InputError
from planner.usecases.season.protocols import own_protocol, protocol_offers, write_protocol


@pytest.mark.parametrize("offer", protocol_offers(), ids=lambda offer: offer.name)
def test_that_a_copy_of_any_shipped_protocol_can_be_taken_as_it_is(offer: object, tmp_path: Path) -> None:
    (shipped,) = [one for one in protocol_offers() if one == offer]
    target = tmp_path / "mine.toml"
    write_protocol(shipped.name, target)
    own = own_protocol(target)
    assert (own.protocol, own.file, shipped.file) == (shipped.protocol, target, None)


def test_that_a_file_that_is_there_is_written_over_only_where_that_was_said(tmp_path: Path) -> None:
    target = tmp_path / "mine.toml"
    target.write_text("mine", encoding="utf-8")
    with pytest.raises(InputError, match="a file of that name"):
        write_protocol("heath_nightjars", target)
    assert target.read_text(encoding="utf-8") == "mine"
    write_protocol("heath_nightjars", target, replace=True)
    assert own_protocol(target).protocol.invented
    assert [path.name for path in tmp_path.iterdir()] == ["mine.toml"]


def test_that_a_name_that_could_not_be_given_later_is_refused(tmp_path: Path) -> None:
    for target in (tmp_path / "mine", tmp_path / "mine.txt"):
        with pytest.raises(InputError, match=r"ending in \.toml"):
            write_protocol("heath_nightjars", target)
        with pytest.raises(InputError, match=r"ending in \.toml"):
            own_protocol(target)
    with pytest.raises(InputError, match="Did you mean heath_nightjars"):
        write_protocol("heath_nightjar", tmp_path / "mine.toml")
    with pytest.raises(InputError, match="No such file"):
        write_protocol("heath_nightjars", tmp_path / "nowhere" / "mine.toml")
    assert list(tmp_path.iterdir()) == []
