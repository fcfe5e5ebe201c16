"""How a class is started: only once, and for a network only with a certificate."""

import re
import shlex
import ssl
import subprocess

import httpx
import pytest

from class_server.classroom import PLACE, SCRIPTS, run
from class_server.test_accounts import refusal


@pytest.mark.parametrize("options", [(), ("--install",)])
def test_a_second_start_leaves_the_class_alone(classroom, options):
    before = classroom.processes()
    said = refusal("serve.py", *options)
    assert f"A class is already running from {PLACE} (process {before['hub'][0].pid})" in said
    assert classroom.processes()["proxy"] == before["proxy"]
    assert httpx.get(f"{classroom.address}/hub/health", trust_env=False).is_success


def refused_address(folder, *options):
    """What the hub says to an address. A folder, since the class itself is running."""
    config = f"--config={SCRIPTS / 'jupyterhub_config.py'}"
    command = [PLACE / ".venv/bin/python", SCRIPTS / "hub.py", config, *options]
    result = subprocess.run(command, cwd=folder, capture_output=True, text=True, timeout=60)
    assert result.returncode == 1
    assert "Traceback" not in result.stderr
    assert not list(folder.iterdir())
    return result.stderr


@pytest.mark.parametrize(
    "options",
    [
        ["--JupyterHub.bind_url=http://0.0.0.0:8000"],
        ["--JupyterHub.bind_url=http://:8000"],
        ["--JupyterHub.bind_url=http://192.0.2.10:8000"],
        ["--JupyterHub.bind_url=http://[2001:db8::1]:8000"],
        ["--JupyterHub.bind_url=http://127.0.0.1.example:8000"],
        ["--JupyterHub.bind_url=https://192.0.2.10:8000"],  # but no certificate
        ["--url=http://192.0.2.10"],
    ],
    ids=" ".join,
)
def test_plain_http_for_a_network_is_refused(classroom, tmp_path, options):
    said = refused_address(tmp_path, *options)
    assert "The class was not started." in said
    assert "sudo openssl req" in said
    assert re.search(r"--JupyterHub\.bind_url='?https://", said)


def test_the_hub_itself_stays_on_this_computer(classroom, tmp_path):
    assert "Leave out hub_ip" in refused_address(tmp_path, "--JupyterHub.hub_ip=0.0.0.0")


@pytest.mark.parametrize(
    ("url", "name"),
    [
        ("http://192.0.2.7:8000", ("IP Address", "192.0.2.7")),
        ("http://[2001:db8::1]:8000", ("IP Address", "2001:DB8:0:0:0:0:0:1")),
        ("http://class.example:8000", ("DNS", "class.example")),
        ("http://0.0.0.0:8000", ("IP Address", "192.0.2.10")),  # to be written over
    ],
)
def test_the_certificate_is_made_by_the_line_that_is_shown(classroom, tmp_path, url, name):
    said = refused_address(tmp_path, f"--JupyterHub.bind_url={url}")
    (line,) = re.findall(r"sudo (openssl .*)", said)
    run(*shlex.split(line.replace(str(PLACE / "my-class"), str(tmp_path))))
    key, certificate = tmp_path / "key.pem", tmp_path / "cert.pem"
    ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(certificate, key)
    assert key.stat().st_mode & 0o077 == 0
    trusting = ssl.create_default_context(cafile=certificate)
    assert trusting.get_ca_certs()[0]["subjectAltName"] == (name,)


ALLOWED = """
import hub
app = hub.ClassHub(bind_url="https://192.0.2.10:8000", ssl_cert="cert.pem", ssl_key="key.pem")
app.load_config_file("")
print(app.bind_url)
"""


def test_a_certificate_opens_the_class_to_a_network(classroom):
    command = [PLACE / ".venv/bin/python", "-c", ALLOWED]
    said = subprocess.check_output(command, cwd=SCRIPTS, text=True)
    assert said == "https://192.0.2.10:8000\n"
