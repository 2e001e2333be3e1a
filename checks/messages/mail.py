"""Mail against an SMTP server of other people (aiosmtpd): encrypted from the first byte or once both have said so, with a
password, and every way in which it must be refused. Run by checks/run; takes the program as its argument."""

import email
import email.policy
import logging
import shutil
import sqlite3
import ssl
import subprocess
import sys
import tempfile
import warnings
from pathlib import Path

import trustme
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, AuthResult

PROGRAM = Path(sys.argv[1]).resolve()
DEMO = Path(__file__).resolve().parents[2] / "demo" / "wisconsin"
PASSWORD = "correct horse"


class Kept:
    """Keeps what it takes from those who have logged in."""

    def __init__(self):
        self.mails = []

    async def handle_DATA(self, server, session, envelope):
        if not session.authenticated:
            return "530 log in first"
        self.mails.append(email.message_from_bytes(envelope.content, policy=email.policy.default))
        return "250 taken"


def login(server, session, envelope, mechanism, data):
    right = data.login == b"garden" and data.password == PASSWORD.encode()
    return AuthResult(success=right, handled=False)


class Server(Controller):
    def __init__(self, handler, context, at_once):
        self.context, self.at_once = context, at_once
        outer = context if at_once else None
        super().__init__(handler, hostname="localhost", port=0, ssl_context=outer)

    def factory(self):
        inner = None if self.at_once else self.context
        return SMTP(
            self.handler,
            hostname="localhost",
            tls_context=inner,
            require_starttls=not self.at_once,
            authenticator=login,
            auth_required=True,
            auth_require_tls=not self.at_once,
        )

    def _trigger_server(self):
        """Asks the port that the system gave, not port 0."""
        self.port = self.server.sockets[0].getsockname()[1]
        super()._trigger_server()


def send(folder, authority, server_port, security, password, trusted):
    """One evening told by mail; what the diary says of it."""
    garden = Path(folder) / "garden"
    shutil.copytree(DEMO, garden)
    authority.cert_pem.write_to_path(str(garden / "mail.pem"))
    certificate = 'certificate = "mail.pem"' if trusted else ""
    with open(garden / "garden.toml", "a", encoding="utf-8") as file:
        file.write(f"""
[[tell]]
name = "Zoë"
by = "mail"
to = "zoe@example.org"
[mail]
server = "localhost"
port = {server_port}
security = "{security}"
user = "garden"
from = "garden@example.org"
{certificate}
""")
    if password is not None:
        secret = garden / "mail-password"
        secret.write_text(password + "\n", encoding="utf-8")
        secret.chmod(0o600)
    asked = [PROGRAM, "watch", "--once", "--at", "2027-05-14T15:00", garden]
    run = subprocess.run(asked, capture_output=True, text=True, timeout=120)
    assert run.returncode == 0, run.stderr
    assert PASSWORD not in run.stdout + run.stderr
    with sqlite3.connect(garden / "diary.sqlite") as diary:
        return diary.execute("SELECT refused, message FROM delivery").fetchall()


def main():
    # What it logs of refused lines is what is asked for here.
    logging.disable(logging.CRITICAL)
    warnings.simplefilter("ignore")
    authority = trustme.CA()
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    authority.issue_cert("localhost").configure_cert(context)
    # Encryption, password, trusted; what the diary says, and whether a mail comes.
    rows = [
        ("tls", PASSWORD, True, None),
        ("starttls", PASSWORD, True, None),
        ("tls", "wrong", True, "535"),
        ("starttls", None, True, "mail-password"),
        ("tls", PASSWORD, False, "certificate"),
        ("starttls", PASSWORD, False, "certificate"),
    ]
    missed = 0
    for security, password, trusted, reason in rows:
        handler = Kept()
        server = Server(handler, context, security == "tls")
        server.start()
        try:
            with tempfile.TemporaryDirectory() as folder:
                said = send(folder, authority, server.port, security, password, trusted)
        finally:
            server.stop()
        [(refused, name)] = said
        if reason is None:
            right = refused is None and len(handler.mails) == 1
            if right:
                mail = handler.mails[0]
                text = mail.get_content()
                right = (
                    mail["Subject"].startswith("Cover 8 beds. Two people")
                    and mail["Message-ID"] == f"<{name}@example.org>"
                    and mail["To"] == "zoe@example.org"
                    and mail["Date"] is not None
                    and "1. strawberries: 2 × heavy 72" in text
                )
        else:
            right = refused is not None and reason in refused.lower() and not handler.mails
        missed += not right
        print(f"mail | {security} | password {'right' if password == PASSWORD else password} | "
              f"certificate {'trusted' if trusted else 'not trusted'} | {refused or 'taken'} | {'within' if right else 'MISSED'}")
    sys.exit(missed > 0)


main()
