"""No test reaches the network, so that nothing it calls does."""

import socket

import pytest


def test_a_way_out_of_the_machine_fails_what_opens_it() -> None:
    with pytest.raises(PermissionError):
        socket.create_connection(("127.0.0.1", 9))
    with socket.socket() as out, pytest.raises(PermissionError):
        out.bind(("127.0.0.1", 0))


def test_a_pair_within_the_process_is_none() -> None:
    one, other = socket.socketpair()
    with one, other:
        one.send(b"seen")
        assert other.recv(9) == b"seen"
