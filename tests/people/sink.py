"""A real mail server for tests: it takes letters over the wire, and can shoot the sender at any step of the talk."""

import os
import signal
import socket
from collections import Counter
from email import message_from_bytes
from email.message import Message as Mail

from aiosmtpd.controller import Controller

STEPS = ("EHLO", "MAIL", "RCPT", "DATA", "QUIT")  # DATA: before our yes; QUIT: the sender has read our yes


class Sink:
    """`accepted` are the letters it said yes to. `shoot(step, n, pid)` kills the sender at the n-th such step."""

    def __init__(self) -> None:
        self.accepted: list[Mail] = []
        self.seen: Counter[str] = Counter()
        self.answers: dict[str, str] = {}  # address -> what to say instead of yes
        self._target: tuple[str, int, int] | None = None

    def shoot(self, step: str, pid: int) -> None:
        """The sender dies at its second `step` from now on: it has sent one letter whole by then."""
        self._target = (step, self.seen[step] + 2, pid)

    def _at(self, step: str) -> bool:
        self.seen[step] += 1
        if self._target and self._target[:2] == (step, self.seen[step]):
            os.kill(self._target[2], signal.SIGKILL)
            return True
        return False

    async def handle_EHLO(self, server, session, envelope, hostname, responses):
        session.host_name = hostname
        self._at("EHLO")
        return responses

    async def handle_MAIL(self, server, session, envelope, address, options):
        self._at("MAIL")
        envelope.mail_from = address
        return "250 OK"

    async def handle_RCPT(self, server, session, envelope, address, options):
        self._at("RCPT")
        if address in self.answers:
            return self.answers[address]
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server, session, envelope):
        if self._at("DATA"):
            return "451 nobody is there to hear this"
        self.accepted.append(message_from_bytes(envelope.content))
        return "250 OK"

    async def handle_QUIT(self, server, session, envelope):
        self._at("QUIT")
        return "221 Bye"

    @property
    def ids(self) -> Counter[str]:
        return Counter(mail["Message-ID"] for mail in self.accepted)


class Served:
    """with Served() as (sink, port): ..."""

    def __enter__(self) -> tuple[Sink, int]:
        sink = Sink()
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            port = free.getsockname()[1]
        self.controller = Controller(sink, hostname="127.0.0.1", port=port)
        self.controller.start()
        return sink, port

    def __exit__(self, *error) -> None:
        self.controller.stop()
