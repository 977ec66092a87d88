"""`harvestlog up`: first start, second start, stop, and what it refuses. The same for an installed package."""

import http.client
import signal
import socket
import stat
import time
from urllib.parse import urlsplit
from uuid import uuid4

import pytest

from tests.setup import server


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "farm"


@pytest.fixture
def up(folder):
    started = []

    def start(*options, **more):
        started.append(server.start(folder, server.free_port(), *options, **more))
        return started[-1]

    yield start
    for served in started:
        if served.program.poll() is None:
            served.stop()


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    """One server for the tests that only look."""
    first = server.start(tmp_path_factory.mktemp("first") / "farm", server.free_port())
    yield first
    first.stop()


def mode(path):
    return stat.S_IMODE(path.stat().st_mode)


def test_the_first_start_gives_one_address_and_the_set_up_code(served):
    assert served.greeting.count("http") == 1
    assert "Set-up code for your farm: " in served.greeting


def test_it_is_up_again_after_a_stop_and_says_how_long_each_start_took(up, capsys):
    first = up()
    first.stop()
    second = up()
    with capsys.disabled():
        print(f"\nup after {first.seconds:.2f} s the first time, {second.seconds:.2f} s the second")  # noqa: T201
    assert second.fetch("/api/session")[0] == 200


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/", "text/html"),
        ("/sw.js", "text/javascript"),
        ("/manifest.webmanifest", "application/manifest+json"),
        ("/api/session", "application/json"),
    ],
)
def test_the_phone_app_and_the_session_are_served(served, path, kind):
    status, content_type = served.fetch(path)
    assert (status, content_type.split(";")[0]) == (200, kind)


def test_the_demo_farm_can_be_looked_round(served):
    phone = {"device": str(uuid4()), "device_name": "A phone"}
    status, session = served.post("/api/demo", phone)
    assert status == 200, session
    assert session["farm"]["is_demo"]


def test_data_and_key_are_for_this_account_alone(served):
    assert mode(served.folder) == 0o700
    assert mode(served.folder / "secret-key") == 0o600
    assert mode(served.folder / "harvestlog.sqlite3") == 0o600


def test_a_second_start_keeps_the_key(up, folder):
    up().stop()
    key = (folder / "secret-key").read_bytes()
    up()
    assert (folder / "secret-key").read_bytes() == key


def test_a_key_file_with_wider_rights_is_narrowed(up, folder):
    up().stop()
    (folder / "secret-key").chmod(0o644)
    up()
    assert mode(folder / "secret-key") == 0o600


@pytest.mark.parametrize("by", [signal.SIGTERM, signal.SIGINT])
def test_it_stops_in_good_order(up, by):
    assert up().stop(by) == 0


def test_a_phone_that_keeps_its_connection_open_does_not_keep_it_from_stopping(up):
    served = up()
    line = http.client.HTTPConnection(urlsplit(served.url).netloc)
    line.request("GET", "/api/session")
    line.getresponse().read()
    assert served.stop() == 0


def test_a_killed_server_leaves_nothing_behind_that_keeps_the_port(up):
    served = up()
    served.program.kill()
    served.program.wait()
    port = urlsplit(served.url).port
    deadline = time.monotonic() + server.PATIENCE_S
    while time.monotonic() < deadline and listening(port):
        time.sleep(0.1)
    assert not listening(port)


def listening(port):
    with socket.socket() as line:
        return line.connect_ex(("127.0.0.1", port)) == 0


def test_a_port_in_use_is_named_with_another_to_try(folder):
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        code, said = server.refused(folder, "--port", str(port))
    assert code == 2
    assert f"port {port} is in use" in said
    assert "Traceback" not in said


def test_two_servers_do_not_share_a_port(served, folder):
    port = urlsplit(served.url).port
    assert server.refused(folder, "--port", str(port))[0] == 2


@pytest.mark.parametrize("typed", ["0", "65536", "80a", "-1", "¹"])
def test_what_is_no_port_is_shown_back(folder, typed):
    code, said = server.refused(folder, f"--port={typed}")
    assert code == 2
    assert f"'{typed}' is no port" in said


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--tls-cert", "a.pem"], "give --tls-cert and --tls-key together"),
        (["--tls-cert", "a.pem", "--tls-key", "b.pem"], "cannot use a.pem with b.pem"),
        (["--host", "nowhere.invalid"], "--host nowhere.invalid is no address of this machine"),
    ],
)
def test_a_wrong_option_is_answered_with_one_sentence(folder, options, said):
    code, answer = server.refused(folder, "--port", str(server.free_port()), *options)
    assert code == 2
    assert said in answer
    assert answer.count("\n") == 1


def test_a_folder_that_cannot_be_made_is_named(tmp_path):
    (tmp_path / "file").write_text("")
    code, said = server.refused(tmp_path / "file" / "farm", "--port", str(server.free_port()))
    assert code == 2
    assert "Choose another folder with --data" in said


def test_another_database_than_postgresql_is_refused(folder):
    port = str(server.free_port())
    code, said = server.refused(folder, "--port", port, more={"HARVESTLOG_DATABASE_URL": "mysql://a/b"})
    assert code == 2
    assert "postgresql://" in said


def test_a_password_that_breaks_the_address_is_not_shown(folder):
    port = str(server.free_port())
    url = {"HARVESTLOG_DATABASE_URL": "postgresql://ada:s3cr/et@127.0.0.1/farm"}
    code, said = server.refused(folder, "--port", port, more=url)
    assert code == 2
    assert "write / as %2F" in said
    assert "s3cr" not in said


def test_a_name_of_this_machine_can_be_listened_on(up):
    served = up("--host", "localhost")
    assert "//localhost:" in served.url
    assert served.fetch("/api/session")[0] == 200


def test_phones_are_told_of_only_once_they_may_come(up):
    everywhere = up("--host", "0.0.0.0")  # noqa: S104 - what its owner types
    assert "add --allow-host" in everywhere.greeting
    everywhere.stop()
    assert "--allow-host" not in up("--host", "0.0.0.0", "--allow-host", "barn.example").greeting  # noqa: S104


@pytest.mark.skipif(bool(server.INSTALLED), reason="the empty environment has no driver for PostgreSQL")
def test_a_database_that_does_not_answer_is_no_traceback(folder):
    closed = f"postgresql://a:b@127.0.0.1:{server.free_port()}/c"
    port = str(server.free_port())
    code, said = server.refused(folder, "--port", port, more={"HARVESTLOG_DATABASE_URL": closed})
    assert code == 2
    assert "the database does not answer" in said


@pytest.mark.skipif(not server.INSTALLED, reason="this environment has the driver")
def test_postgresql_without_its_driver_is_answered_with_what_to_install(folder):
    port = str(server.free_port())
    url = {"HARVESTLOG_DATABASE_URL": "postgresql://a:b@127.0.0.1/c"}
    code, said = server.refused(folder, "--port", port, more=url)
    assert code == 2
    assert "pip install 'harvestlog[postgres]'" in said
    assert "Traceback" not in said
