"""Turn what pip said when it failed into one sentence and a next step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kit.errors import KitError


class SetupError(KitError):
    """The environment could not be made; the message is one sentence and a next step."""


@dataclass(frozen=True, slots=True)
class Trouble:
    """One kind of trouble: the words that give it away, lower case, and what to tell a person."""

    signs: tuple[str, ...]
    sentence: str

    def shows_in(self, said: str) -> bool:
        """Tell whether a program's words give this trouble away."""
        return any(sign in said.lower() for sign in self.signs)


DISK_FULL = Trouble(
    ("no space left on device", "[errno 28]", "not enough space on the disk", "disk quota"),
    "The disk is full, so the set-up could not be finished. Free about 1 GB and run the same "
    "command again, or name a folder on another disk with --environment.",
)
LONG_PATHS = Trouble(
    ("windows long path support",),
    "Windows refused a file whose path is too long. Move the folder of the kit to a short place "
    "such as C:\\kit and run the same command there.",
)
DENIED = Trouble(
    ("permission denied", "access is denied", "read-only file system"),
    "The set-up was not allowed to write where it must. Copy the whole folder of the kit to a "
    "place of your own and run the same command there, or name a folder with --environment.",
)
CERTIFICATE = Trouble(
    ("certificate verify failed", "certificate_verify_failed", "self-signed certificate"),
    "The package index answered with a certificate that this machine does not trust, as on "
    "networks that inspect traffic. Ask who runs the network for its certificate, set PIP_CERT to "
    "that file and run the same command again.",
)
HASH = Trouble(
    ("do not match the hashes", "hash mismatch"),
    "A downloaded package is not the one this version of the kit was tested with, so nothing of "
    "it was used. Update the clone and run the same command again.",
)
NETWORK = Trouble(
    (
        "failed to establish a new connection",
        "temporary failure in name resolution",
        "name or service not known",
        "getaddrinfo failed",
        "nodename nor servname",
        "network is unreachable",
        "connection refused",
        "connection reset",
        "connection timed out",
        "connecttimeout",
        "readtimeout",
        "read timed out",
        "proxyerror",
        "cannot connect to proxy",
        "max retries exceeded",
        "could not fetch url",
        "retrying (",
    ),
    "The package index could not be reached: the first set-up needs the internet. Check the "
    "connection (or the proxy) and run the same command again; later starts work offline.",
)
NO_BUILD = Trouble(
    ("no matching distribution found", "requires a different python"),
    "The package index has no build of a needed package for this Python on this kind of machine. "
    "Run the same command with Python 3.11, 3.12 or 3.13.",
)
# The first that shows is told: a full disk, say, also breaks a download.
TROUBLES = (DISK_FULL, LONG_PATHS, DENIED, CERTIFICATE, HASH, NETWORK, NO_BUILD)


def explain_pip(lines: Sequence[str], log: str) -> str:
    """Return one sentence and a next step for an install that failed.

    Args:
        lines: what was printed.
        log: where the whole of it is kept.
    """
    said = "\n".join(lines)
    for trouble in TROUBLES:
        if trouble.shows_in(said):
            return trouble.sentence
    errors = [line.strip() for line in lines if line.lower().startswith("error")]
    last = (errors or [line.strip() for line in lines] or ["nothing was said"])[-1]
    return (
        f"The set-up stopped: {last.rstrip('.')}. Run the same command again; if it stops at the "
        f"same place, show {log} to whoever looks after this machine."
    )
