"""The hub of a class: JupyterHub, but for a network only with a certificate."""

import ipaddress
import shlex
import sys
from pathlib import Path
from urllib.parse import urlsplit

from jupyterhub.app import JupyterHub

CLASS = Path(__file__).resolve().parent
STATE = CLASS.parents[2] / "my-class"
EXAMPLE = "192.0.2.10"  # an address that stands for others

NEEDS_CERTIFICATE = """\
The class was not started. At {url} the passwords would travel as plain text, which anybody on the
network can read. In a room the address has to begin with https, and https needs a certificate.

You can make a certificate yourself. Browsers warn about it once: show the class how to continue.

    sudo {openssl}
    sudo {serve}
{which_address}
Or get one that browsers know: ask the people who run your network (the campus, say) for a
certificate for this server's name, and give its two files in place of key.pem and cert.pem.

For this computer alone, leave the address out."""


class ClassHub(JupyterHub):
    """JupyterHub, which by itself would serve plain http to a network."""

    def load_config_file(self, *arguments, **options):
        """Look at the addresses as soon as they are known, before anything listens."""
        super().load_config_file(*arguments, **options)
        if not self.ssl_cert and not is_loopback(self.bind_url):
            self.exit(how_to_get_a_certificate(self.bind_url))
        for section, settings in self.config.items():
            for name in INNER & settings.keys():
                if not is_loopback(settings[name]):
                    self.exit(
                        "The class was not started: its inner parts talk to each other on this "
                        f"computer only, and without a certificate. Leave out {section}.{name}; a "
                        "room's address goes into bind_url."
                    )


# Where the hub, the control of its proxy and the learners' servers listen.
INNER = {"ip", "hub_ip", "hub_bind_url", "api_url"}


def is_loopback(address):
    """Tell whether only this machine can reach a URL or an address."""
    try:
        host = urlsplit(address if "//" in address else f"//{address}").hostname or ""
        return host == "localhost" or ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def how_to_get_a_certificate(url):
    """Return the commands for an address that was asked for without one."""
    try:
        host, port = urlsplit(url).hostname or "", urlsplit(url).port or 443
    except ValueError:
        return f"The class was not started: {url} is no address. Write https://{EXAMPLE}:443"
    which_address = ""
    if host in ("", "0.0.0.0", "::"):  # all that this machine has
        host = EXAMPLE
        which_address = f"\nWrite this server's own address in place of {EXAMPLE}.\n"
    shown = f"[{host}]" if ":" in host else host
    key, certificate = STATE / "key.pem", STATE / "cert.pem"
    openssl = ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "30"]
    openssl += ["-subj", "/CN=class", "-addext", f"subjectAltName={kind_of_name(host)}:{host}"]
    openssl += ["-keyout", str(key), "-out", str(certificate)]
    serve = ["python3", str(CLASS / "serve.py"), f"--JupyterHub.bind_url=https://{shown}:{port}"]
    serve += [f"--JupyterHub.ssl_key={key}", f"--JupyterHub.ssl_cert={certificate}"]
    return NEEDS_CERTIFICATE.format(
        url=url,
        openssl=shlex.join(openssl),
        serve=shlex.join(serve),
        which_address=which_address,
    )


def kind_of_name(host):
    """Return what a certificate calls a number or a name."""
    try:
        ipaddress.ip_address(host)
    except ValueError:
        return "DNS"
    return "IP"


if __name__ == "__main__":
    sys.exit(ClassHub.launch_instance())
