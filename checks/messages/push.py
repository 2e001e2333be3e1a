"""Messages to a phone's browser against a push service of our own on the loopback: decrypted and verified with another library
(cryptography), whose use is held to the example of RFC 8291, section 5. Run by checks/run; takes the program as its argument."""

import base64
import http.server
import json
import shutil
import subprocess
import sys
import tempfile
import threading
from pathlib import Path

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives import hashes, hmac, serialization
from cryptography.hazmat.primitives.asymmetric import ec, utils
from cryptography.hazmat.primitives.ciphers.aead import AESGCM

PROGRAM = Path(sys.argv[1]).resolve()
DEMO = Path(__file__).resolve().parents[2] / "demo" / "wisconsin"
CURVE = ec.SECP256R1()


def decoded(text):
    return base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))


def encoded(data):
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode()


def point(key):
    return key.public_bytes(serialization.Encoding.X962, serialization.PublicFormat.UncompressedPoint)


def mac(key, data):
    h = hmac.HMAC(key, hashes.SHA256())
    h.update(data)
    return h.finalize()


def decrypted(private, auth, body):
    """RFC 8291, 3.4; RFC 8188, 2."""
    salt, length = body[:16], body[20]
    theirs, record = body[21 : 21 + length], body[21 + length :]
    shared = private.exchange(ec.ECDH(), ec.EllipticCurvePublicKey.from_encoded_point(CURVE, theirs))
    info = b"WebPush: info\0" + point(private.public_key()) + theirs + b"\1"
    key = mac(salt, mac(mac(auth, shared), info))
    content = mac(key, b"Content-Encoding: aes128gcm\0\1")[:16]
    nonce = mac(key, b"Content-Encoding: nonce\0\1")[:12]
    text = AESGCM(content).decrypt(nonce, record, None)
    assert text.endswith(b"\2"), "the only record does not end as the last"
    return text[:-1]


def example():
    """RFC 8291, section 5 and appendix A."""
    number = int.from_bytes(decoded("q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94"), "big")
    body = decoded(
        "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A_yl95b"
        "Qpu6cVPTpK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qulcy4a-fN"
    )
    text = decrypted(ec.derive_private_key(number, CURVE), decoded("BTBZMqHH6r4Tts7J_aSIgg"), body)
    return text == b"When I grow up, I want to be a watermelon"


class Service(http.server.BaseHTTPRequestHandler):
    status, came = 201, []

    def do_POST(self):
        Service.came.append((dict(self.headers.items()), self.rfile.read(int(self.headers["content-length"]))))
        self.send_response(Service.status)
        self.send_header("content-length", "0")
        self.end_headers()

    def log_message(self, *_):
        pass


def told(folder, status, endpoint, private, auth):
    """One evening told to one phone; the phones that are left."""
    garden = Path(folder) / f"garden-{status}"
    shutil.copytree(DEMO, garden)
    phone = {"name": "phone 1", "endpoint": endpoint, "p256dh": encoded(point(private.public_key())), "auth": encoded(auth)}
    phones = garden / "push-phones"
    phones.write_text(json.dumps([phone]), encoding="utf-8")
    phones.chmod(0o600)
    Service.status = status
    run = subprocess.run([PROGRAM, "watch", "--once", "--at", "2027-05-14T15:00", garden], capture_output=True, text=True)
    assert run.returncode == 0, run.stderr
    assert (garden / "push-key").stat().st_mode & 0o777 == 0o600
    return json.loads(phones.read_text(encoding="utf-8"))


def signed(header, origin):
    """The claims of a good signature (RFC 8292, 2 and 3)."""
    scheme, _, rest = header.partition(" ")
    fields = dict(part.strip().split("=", 1) for part in rest.split(","))
    key = ec.EllipticCurvePublicKey.from_encoded_point(CURVE, decoded(fields["k"]))
    head, claims, signature = fields["t"].split(".")
    raw = decoded(signature)
    pair = utils.encode_dss_signature(int.from_bytes(raw[:32], "big"), int.from_bytes(raw[32:], "big"))
    key.verify(pair, f"{head}.{claims}".encode(), ec.ECDSA(hashes.SHA256()))
    claims = json.loads(decoded(claims))
    return scheme == "vapid" and json.loads(decoded(head))["alg"] == "ES256" and claims["aud"] == origin and "@" in claims["sub"]


def main():
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Service)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    origin = f"http://127.0.0.1:{server.server_address[1]}"
    private, auth = ec.generate_private_key(CURVE), b"sixteen bytes ok"
    rows = [("the example of RFC 8291", example())]
    with tempfile.TemporaryDirectory() as folder:
        left = told(folder, 201, f"{origin}/phone", private, auth)
        headers, body = Service.came[-1]
        headers = {name.lower(): value for name, value in headers.items()}
        said = json.loads(decrypted(private, auth, body))
        rows += [
            ("taken, and the phone stays", len(left) == 1 and len(Service.came) == 1),
            ("decrypted", said["title"].startswith("Cover 8 beds.") and "strawberries" in said["body"]),
            ("signed for its service", signed(headers["authorization"], origin)),
            ("headers", headers["content-encoding"] == "aes128gcm" and headers["urgency"] == "normal" and int(headers["ttl"]) > 3600),
            ("at most 4096 bytes", len(body) <= 4096),
        ]
        try:
            decrypted(ec.generate_private_key(CURVE), auth, body)
            rows.append(("no other phone reads it", False))
        except InvalidTag:
            rows.append(("no other phone reads it", True))
        rows.append(("one that is gone is forgotten", told(folder, 410, f"{origin}/phone", private, auth) == []))
        rows.append(("one that is refused stays", len(told(folder, 429, f"{origin}/phone", private, auth)) == 1))
    for what, right in rows:
        print(f"push | {what} | {'within' if right else 'MISSED'}")
    sys.exit(not all(right for _, right in rows))


main()
