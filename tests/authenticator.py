"""A device that keeps keys, in a few lines: what a browser and a device make of what a school's page asks them.

Source: W3C *Web Authentication Level 3*, 6.1 (authenticator data), 6.5.4 and 8.7 (no attestation), 5.8.1 (client data);
RFC 9053, 2.1 and 7.1.1 (the public key).
"""

import json
from dataclasses import dataclass, field
from hashlib import sha256
from secrets import token_bytes

import cbor2
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.hashes import SHA256
from webauthn.helpers import base64url_to_bytes, bytes_to_base64url

HOST, ORIGIN = "school.example", "https://school.example"
PRESENT, VERIFIED, ATTESTED = 0x01, 0x04, 0x40  # flags


@dataclass
class Device:
    """A device with one key.

    Args:
        host, origin: where its browser is.
        flags: that somebody touched it, and was known by finger, face or code.
        counted: how often it signed; a device that does not count stays at 0.
    """

    host: str = HOST
    origin: str = ORIGIN
    flags: int = PRESENT | VERIFIED
    counted: int = 0
    id: bytes = field(default_factory=lambda: token_bytes(16))
    handle: bytes = b""
    key: ec.EllipticCurvePrivateKey = field(default_factory=lambda: ec.generate_private_key(ec.SECP256R1()))

    def keeps(self, asked: str) -> str:
        """What the browser sends when the device made its key: `asked` is what the page gave the browser."""
        wanted = json.loads(asked)
        self.handle = base64url_to_bytes(wanted["user"]["id"])
        x_y = self.key.public_key().public_numbers()
        public = {1: 2, 3: -7, -1: 1, -2: x_y.x.to_bytes(32), -3: x_y.y.to_bytes(32)}
        credential = bytes(16) + len(self.id).to_bytes(2) + self.id + cbor2.dumps(public)
        made = {"fmt": "none", "attStmt": {}, "authData": self._data(ATTESTED) + credential}
        client = self._client("webauthn.create", wanted)
        return self._sent(clientDataJSON=client, attestationObject=cbor2.dumps(made))

    def signs(self, asked: str) -> str:
        """What the browser sends when the device signed with its key."""
        self.counted += 1 if self.counted else 0
        client, data = self._client("webauthn.get", json.loads(asked)), self._data()
        signature = self.key.sign(data + sha256(client).digest(), ec.ECDSA(SHA256()))
        sent = {"clientDataJSON": client, "authenticatorData": data, "signature": signature}
        return self._sent(**sent, userHandle=self.handle)

    def _data(self, more: int = 0) -> bytes:
        return sha256(self.host.encode()).digest() + bytes([self.flags | more]) + self.counted.to_bytes(4)

    def _client(self, what: str, asked: dict[str, str]) -> bytes:
        return json.dumps({"type": what, "challenge": asked["challenge"], "origin": self.origin}).encode()

    def _sent(self, **response: bytes) -> str:
        id_ = bytes_to_base64url(self.id)
        said = {name: bytes_to_base64url(value) for name, value in response.items()}
        return json.dumps({"id": id_, "rawId": id_, "type": "public-key", "response": said})
