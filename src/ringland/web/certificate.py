"""The server's own certificate authority and the certificate it serves with.

The authority may sign for the names of this machine only (name constraints), so that trusting it
gives away nothing else. Its key stays in the server's folder, readable by its owner alone.
"""

import ipaddress
from collections.abc import Sequence
from datetime import datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

AUTHORITY_LIFE = timedelta(days=3650)
SERVER_LIFE = timedelta(days=397)  # the longest that browsers accept of a server, from memory
EARLIER = timedelta(days=1)  # clocks of phones run a little apart

Key = ec.EllipticCurvePrivateKey


def authority_file(folder: Path) -> Path:
    """Return where the authority's certificate lies, there or not."""
    return folder / "authority.crt"


def server_files(folder: Path) -> tuple[Path, Path] | None:
    """Return certificate and key to serve with, or None where none was made."""
    files = (folder / "server.crt", folder / "server.key")
    return files if all(file.exists() for file in files) else None


def make(folder: Path, names: Sequence[str], now: str) -> None:
    """Make a new authority and a certificate of this server for its names and addresses."""
    folder.mkdir(parents=True, exist_ok=True)
    start = datetime.fromisoformat(now)
    hosts = [_general(name) for name in dict.fromkeys(names)]
    authority_key = ec.generate_private_key(ec.SECP256R1())
    authority = _authority(authority_key, hosts, start)
    key = ec.generate_private_key(ec.SECP256R1())
    server = _server(key, authority, authority_key, hosts, start)
    pem = serialization.Encoding.PEM
    _write(authority_file(folder), authority.public_bytes(pem))
    _write(folder / "server.crt", server.public_bytes(pem) + authority.public_bytes(pem))
    _write(folder / "server.key", _text(key), secret=True)
    _write(folder / "authority.key", _text(authority_key), secret=True)


def _authority(key: Key, hosts: list[x509.GeneralName], start: datetime) -> x509.Certificate:
    name = _name(f"Ringland bench, {start:%Y-%m-%d}")
    public = key.public_key()
    allowed = [_constraint(host) for host in hosts]
    usage = x509.KeyUsage(False, False, False, False, False, True, True, False, False)
    return (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(public)
        .serial_number(x509.random_serial_number())
        .not_valid_before(start - EARLIER)
        .not_valid_after(start + AUTHORITY_LIFE)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.NameConstraints(allowed, None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(public), critical=False)
        .sign(key, hashes.SHA256())
    )


def _server(
    key: Key,
    authority: x509.Certificate,
    authority_key: Key,
    hosts: list[x509.GeneralName],
    start: datetime,
) -> x509.Certificate:
    issuer = authority_key.public_key()
    return (
        x509.CertificateBuilder()
        .subject_name(_name("Ringland bench page"))
        .issuer_name(authority.subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(start - EARLIER)
        .not_valid_after(start + SERVER_LIFE)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.SubjectAlternativeName(hosts), critical=False)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(issuer), critical=False)
        .sign(authority_key, hashes.SHA256())
    )


def _general(name: str) -> x509.GeneralName:
    try:
        return x509.IPAddress(ipaddress.ip_address(name))
    except ValueError:
        return x509.DNSName(name)


def _constraint(host: x509.GeneralName) -> x509.GeneralName:
    if isinstance(host, x509.IPAddress):
        return x509.IPAddress(ipaddress.ip_network(str(host.value)))
    return host


def _name(text: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, text)])


def _text(key: Key) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )


def _write(file: Path, content: bytes, *, secret: bool = False) -> None:
    file.touch(mode=0o600 if secret else 0o644)
    file.write_bytes(content)
