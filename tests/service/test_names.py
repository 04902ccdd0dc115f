"""What the shop's PC is called: a name that outlives a renamed machine, addresses, and its announcement."""

import socket

import pytest
from hypothesis import given
from hypothesis import strategies as st
from zeroconf import Zeroconf

from bothends.service.lan import names
from bothends.service.lan.announce import Announcer
from bothends.service.lan.garage import Garage, Options


def test_the_announced_name_is_kept_when_the_machine_is_renamed(tmp_path, monkeypatch):
    monkeypatch.setattr(socket, "gethostname", lambda: "Slipway PC")
    assert names.present(tmp_path).announced == "bothends-slipway-pc.local"
    monkeypatch.setattr(socket, "gethostname", lambda: "new-pc")
    renamed = names.present(tmp_path)
    assert renamed.announced == "bothends-slipway-pc.local"
    assert "new-pc.local" in renamed.dns


@given(st.text(max_size=80))
def test_whatever_a_machine_is_called_the_name_made_of_it_is_a_host_name(tmp_path_factory, host):
    found = names.announced_name(tmp_path_factory.mktemp("shop"), host)
    assert names.is_name(found)
    assert found.endswith(".local")
    assert len(found.split(".")[0]) <= 63


def test_a_name_that_was_given_goes_before_all_others(tmp_path):
    garage = Garage(tmp_path, Options(port=8622, helper_port=8623, name="shop.lan", mdns=False))
    assert garage.address == "https://shop.lan:8622/"
    assert garage.help_address == "http://shop.lan:8623/"
    assert not garage.fleeting
    # This machine's bare name is nobody's business.
    assert [name for name in garage.shown.left_out if "." in name] == garage.notes == []


def test_an_address_that_was_told_is_the_one_devices_hear(tmp_path):
    garage = Garage(tmp_path, Options(port=8622, address="https://bothends.shop.lan/", mdns=False))
    assert garage.address == "https://bothends.shop.lan/"


def test_where_only_a_number_is_known_that_is_said(tmp_path, monkeypatch):
    monkeypatch.setattr(names, "addresses", lambda: ["192.168.1.20", "fd00::2"])
    monkeypatch.setattr(socket, "getfqdn", lambda host: "localhost")
    garage = Garage(tmp_path, Options(port=8622, mdns=False))
    assert garage.address == "https://192.168.1.20:8622/"
    assert garage.fleeting
    assert garage.others == ["https://[fd00::2]:8622/"]
    assert {"192.168.1.20", "[fd00::2]", "bothends-" + names._label(socket.gethostname()) + ".local"} <= set(
        garage.names.hosts
    )


class Nowhere(Zeroconf):
    """A network that lets nothing be announced."""

    def __init__(self) -> None:
        raise OSError(19, "No such device")


def test_a_name_that_cannot_be_announced_is_a_note_and_the_shop_is_served_all_the_same(tmp_path, monkeypatch):
    monkeypatch.setattr("bothends.service.lan.announce.Zeroconf", Nowhere)
    garage = Garage(tmp_path, Options(port=8622))
    garage.announce()
    garage.close()
    assert any("cannot be announced" in note or "no address" in note for note in garage.notes)
    assert ".local" not in garage.address


def test_a_name_that_another_machine_answers_to_is_not_taken(tmp_path, monkeypatch):
    class Other:
        def __init__(self, name):
            assert name == "bothends-pc.local."

        def request(self, zeroconf, patience):
            return True

        def parsed_addresses(self):
            return ["192.168.1.99"]

    class Network:
        def close(self):
            pass

    monkeypatch.setattr("bothends.service.lan.announce.Zeroconf", Network)
    monkeypatch.setattr("bothends.service.lan.announce.AddressResolver", Other)
    found = names.Names(announced="bothends-pc.local", dns=(), addresses=("192.168.1.20",))
    assert "192.168.1.99; give this one another with --name" in Announcer(8622).start(found)


@pytest.mark.parametrize("address", ["127.0.0.1", "::1", "169.254.3.4", "fe80::1"])
def test_addresses_that_no_phone_can_use_are_left_out(monkeypatch, address):
    class Ip:
        ip = address

    class Card:
        ips = (Ip,)

    monkeypatch.setattr(names.ifaddr, "get_adapters", lambda: [Card])
    assert names.addresses() == []
