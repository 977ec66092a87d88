"""Run only inside the namespace of test_no_outbound.py: it is as alone as it should be."""

import socket

import pytest


def test_there_is_no_way_to_another_machine() -> None:
    with pytest.raises(OSError, match="unreachable"):
        socket.create_connection(("192.0.2.1", 80), 5)  # RFC 5737: an address that belongs to nobody
    assert [name for _, name in socket.if_nameindex()] == ["lo"]
