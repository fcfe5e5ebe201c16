"""How a class is started: only once, and for a network only with a certificate."""

import json
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


def hub(folder, *arguments, **options):
    """A Python of the class, run in a folder, since the class itself is running."""
    command = [PLACE / ".venv/bin/python", *arguments]
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, **options)


CONFIG = f"--config={SCRIPTS / 'jupyterhub_config.py'}"
FOR_A_NETWORK = [
    ["--JupyterHub.bind_url=http://0.0.0.0:8000"],
    ["--JupyterHub.bind_url=http://:8000"],
    ["--JupyterHub.bind_url=http://192.0.2.10:8000"],
    ["--JupyterHub.bind_url=http://[2001:db8::1]:8000"],
    ["--JupyterHub.bind_url=http://127.0.0.1.example:8000"],
    ["--JupyterHub.bind_url=https://192.0.2.10:8000"],  # but no certificate
    ["--url=http://192.0.2.10"],
]
INSIDE = {
    "JupyterHub.hub_ip=0.0.0.0": "JupyterHub.hub_ip",
    "JupyterHub.hub_bind_url=http://0.0.0.0:8081": "JupyterHub.hub_bind_url",
    "JupyterHub.ip=0.0.0.0": "JupyterHub.ip",
    "JupyterHub.proxy_api_ip=0.0.0.0": "ConfigurableHTTPProxy.api_url",
    "ConfigurableHTTPProxy.api_url=http://0.0.0.0:8001": "ConfigurableHTTPProxy.api_url",
    "Spawner.ip=": "Spawner.ip",  # all that this machine has
    "LearnerSpawner.ip=192.0.2.10": "LearnerSpawner.ip",
}
NO_ADDRESS = ["--JupyterHub.bind_url=http://[192.0.2.10"]
CERTIFICATES = {
    "http://192.0.2.7:8000": ("IP Address", "192.0.2.7"),
    "http://[2001:db8::1]:8000": ("IP Address", "2001:DB8:0:0:0:0:0:1"),
    "http://class.example:8000": ("DNS", "class.example"),
    "http://0.0.0.0:8000": ("IP Address", "192.0.2.10"),  # to be written over
}

# As the hub starts with each of these options, one after the other.
START_WITH_EACH = f"""
import asyncio, json, sys
sys.path.insert(0, {str(SCRIPTS)!r})
from hub import ClassHub
said = []
for options in json.load(sys.stdin):
    ClassHub.clear_instance()
    try:
        asyncio.run(ClassHub.instance().initialize([{CONFIG!r}, *options]))
    except SystemExit as end:
        said.append(end.code)
    else:
        said.append("it started")
print(json.dumps(said))
"""


@pytest.fixture(scope="module")
def said(classroom, tmp_path_factory):
    """What the hub says to options, by themselves; all at once, since it takes long to import."""
    folder = tmp_path_factory.mktemp("hub")
    asked = [*FOR_A_NETWORK, NO_ADDRESS, *([f"--{option}"] for option in INSIDE)]
    asked += [[f"--JupyterHub.bind_url={url}"] for url in CERTIFICATES]
    result = hub(folder, "-c", START_WITH_EACH, input=json.dumps(asked), timeout=120)
    assert result.returncode == 0, result.stderr
    assert not list(folder.iterdir())
    return dict(zip(map(tuple, asked), json.loads(result.stdout), strict=True))


def test_a_refusal_ends_the_hub(classroom, said, tmp_path):
    result = hub(tmp_path, SCRIPTS / "hub.py", CONFIG, *FOR_A_NETWORK[0], timeout=60)
    assert result.returncode == 1
    assert result.stderr.strip() == said[tuple(FOR_A_NETWORK[0])]
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("options", FOR_A_NETWORK, ids=" ".join)
def test_plain_http_for_a_network_is_refused(said, options):
    told = said[tuple(options)]
    assert "The class was not started." in told
    assert "sudo openssl req" in told
    assert re.search(r"--JupyterHub\.bind_url='?https://", told)


@pytest.mark.parametrize(("option", "named"), INSIDE.items())
def test_its_inner_parts_stay_on_this_computer(said, option, named):
    assert f"Leave out {named};" in said[(f"--{option}",)]


def test_what_is_no_address_is_named(said):
    assert "http://[192.0.2.10 is no address" in said[tuple(NO_ADDRESS)]


@pytest.mark.parametrize(("url", "name"), CERTIFICATES.items())
def test_the_certificate_is_made_by_the_line_that_is_shown(said, tmp_path, url, name):
    told = said[(f"--JupyterHub.bind_url={url}",)]
    (line,) = re.findall(r"sudo (openssl .*)", told)
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
