"""``blocksheet studio``: it listens on this computer only, and stops when asked."""

from __future__ import annotations

import signal
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from tests.web.door import Studio


@pytest.fixture
def opened(tmp_path: Path) -> Studio:
    return Studio(tmp_path)


def test_the_address_that_it_prints_opens_it_and_ctrl_c_ends_it(opened: Studio) -> None:
    with opened as studio:
        assert studio.process is not None
        assert studio.ask(studio.address.removeprefix(studio.origin))[0] == 303
        studio.process.send_signal(signal.SIGINT)
        told, _ = studio.process.communicate(timeout=20)
        assert studio.process.returncode == 0
        assert told.endswith("The studio is closed.\n")
        assert "Traceback" not in told


def test_the_page_can_end_it(opened: Studio) -> None:
    with opened as studio:
        assert studio.process is not None
        headers = {"x-studio-token": studio.token, "origin": studio.origin}
        status, text = studio.ask("/leave", "POST", **headers)
        assert status == 200
        assert "closed" in text
        assert studio.process.wait(timeout=20) == 0


def test_it_listens_on_this_computer_only(opened: Studio) -> None:
    """127.0.0.0/8 is the loopback network (RFC 1122, 3.2.1.3); 127.0.0.1 alone is listened on."""
    with opened as studio:
        port = int(studio.origin.rsplit(":", 1)[1])
        for elsewhere in ("127.0.0.2", _own_address()):
            with socket.socket() as caller:
                caller.settimeout(5)
                with pytest.raises(ConnectionRefusedError):
                    caller.connect((elsewhere, port))


def _own_address() -> str:
    """This computer's address for others; another one of the loopback network when it has none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        try:
            asking.connect(("192.0.2.1", 9))
        except OSError:
            return "127.0.0.3"
        return str(asking.getsockname()[0])


def run(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "tiler", "studio", *words],
        capture_output=True,
        text=True,
        timeout=30,
        check=False,
    )


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    done = run(str(tmp_path / "nowhere"), "--no-browser")
    assert done.returncode == 2
    assert "there is no such folder" in done.stderr


def test_a_port_that_is_taken_is_told(tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        done = run(str(tmp_path), "--no-browser", "--port", str(taken.getsockname()[1]))
    assert done.returncode == 2
    assert "cannot be used" in done.stderr
