"""Who knocks gets the site or nothing: `python tests/torture/preview_sockets.py [REQUESTS [CROWD]]`.

Raw bytes are sent to a preview on this machine: requests made by chance of hostile parts, and what takes its
time, its room or its connections. Held is what is answered by nothing that lies outside the site, leaves the
guide's folder as it is, and after which, when there was time to get through it, an honest request is answered
within a second by the same process, which has not grown by more than it may.
"""

from __future__ import annotations

import os
import random
import re
import select
import socket
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from time import monotonic, sleep

from held import told, tree, write

REQUESTS, CROWD = 10_000, 1_000
TOGETHER = 100
"""So many requests are sent side by side."""
SECRET, SITE = "kept-to-oneself", "for-every-reader"
FILES = {
    "guide/content/guide.yaml": f"title: A guide\n# {SECRET}\n",
    "guide/content/index.md": f"# Home\n\n{SITE}\n\n```moves lift\nmoves: F D' U L2 U2 D2 R U\n```\n",
    "guide/content/large.txt": "x" * 4_000_000,
    "guide/beside.txt": SECRET,
    "outside/index.html": SECRET,
}
HIDDEN = {"output/.hidden": SECRET, "output/.folder/index.html": SECRET}
"""What the author has in output/ and no browser is to see."""
PATIENCE = 60.0
PROMPT = 1.0
"""Seconds within which an honest request is answered."""
BREATH = 2.0
"""Seconds in which it gets through what so many have sent at one time."""
GROWTH = 256 * 2**20
"""So many bytes more than before it may take at any time."""
FEW = 5
"""So many files and connections more than at first are none of those that were left open."""
LONG = 14.0
"""Seconds for which slow ones go on: longer than the preview waits for any of them."""

METHODS = ["HEAD", "POST", "PUT", "DELETE", "OPTIONS", "TRACE", "CONNECT", "PATCH", "get", "G\x00T", ""]
UP = [
    "..",
    "%2e%2e",
    "%2E.",
    ".%2e",
    "%252e%252e",
    "..%00",
    "..;",
    "...",
    "%c0%ae%c0%ae",
    "．．",
    ".. ",
    "..%5c",
]
SLASHES = ["%2f", "\\", "%5c", "//", "/./", "%252f", "%c0%af", "∕"]
WANTED = [
    "content/guide.yaml",
    "beside.txt",
    "outside/index.html",
    "output/.hidden",
    ".hidden",
    ".folder/",
    ".turnfolio",
    "link/",
    "link/index.html",
    "link.txt",
    "etc/passwd",
    "index.html",
    "index.html%00.png",
    "",
]
BELOW = ["", "/files", "/.preview", "/.preview/files", "/sequences", "/link", "/.preview/scratch"]
BEFORE = [
    "/",
    "http://127.0.0.1",
    "file://",
    "http://outside",
    "//outside",
    "*",
    "\x00",
    "http://127.0.0.1:{port}",
]
OWN_HOST, OWN = "127.0.0.1:{port}", "http://127.0.0.1:{port}"
HOSTS = ["example.org", "localhost.example.org:{port}", "127.0.0.1", "", "127.0.0.1:{port}\r\nHost: x"]
ORIGINS = ["http://example.org", "null", "http://127.0.0.1:{port}.example.org", ""]
LINES = [
    "Content-Type: application/json\r\nContent-Length: 2",
    "Content-Type: application/json\r\nContent-Length: 104857600",
    "Content-Type: application/json\r\nContent-Length: -1",
    "Content-Type: application/json\r\nContent-Length: 2\r\nContent-Length: 3",
    "Content-Type: application/json\r\nContent-Length: 2\r\nTransfer-Encoding: chunked",
    "Content-Type: text/plain\r\nContent-Length: 2",
    "Transfer-Encoding: chunked",
    "Upgrade: websocket\r\nConnection: Upgrade",
    "Expect: 100-continue",
    "Sec-Fetch-Site: cross-site",
    "Range: bytes=0-10000000",
    "X-Forwarded-Host: example.org\r\nX-Original-URL: /../content/guide.yaml",
    " folded: line",
    "No colon",
    "X: " + "a" * 20_000,
    "X: \x00\x7f\xff",
]
VERSIONS = ["HTTP/1.0", "HTTP/9.9", "", "HTTP/1.1 x"]
ENDS = ["\n\n", "\r\n", "", "\r\n\r\n2\r\n{}\r\n0\r\n\r\n", "\r\n\r\nzz\r\n"]
CHANGING = ["/.preview/scratch/answer", "/.preview/scratch/find", "/.preview/scratch/stop"]


@dataclass
class Running:
    """A preview, and what its guide's folder held when it began."""

    folder: Path
    process: subprocess.Popen[bytes]
    log: Path
    port: int
    at_first: dict[str, bytes]

    def __post_init__(self) -> None:
        self.least, self.files_at_first = self.memory(), self.files()

    def connected(self, timeout: float = PATIENCE) -> socket.socket:
        return socket.create_connection(("127.0.0.1", self.port), timeout=timeout)

    def head(self, line: str = "GET / HTTP/1.1", *more: str) -> bytes:
        return "\r\n".join([line, f"Host: 127.0.0.1:{self.port}", *more, "", ""]).encode("latin-1")

    def own_page(self) -> list[str]:
        """The lines by which its own pages send something."""
        return [f"Origin: http://127.0.0.1:{self.port}", "Content-Type: application/json"]

    def answer_to(self, sent: bytes, timeout: float = PATIENCE) -> bytes:
        """All that is answered, until the other side closes."""
        answer = b""
        with suppress(OSError), self.connected(timeout) as sock:
            sock.sendall(sent)
            while part := sock.recv(2**16):
                answer += part
        return answer

    def answers_to(self, all_sent: Sequence[bytes]) -> list[bytes]:
        """What is answered to each of many that are sent side by side, until no more comes for a while."""
        answers = dict.fromkeys((self.connected() for _ in all_sent), b"")
        for sock, sent in zip(answers, all_sent, strict=True):
            with suppress(OSError):
                sock.sendall(sent)
        waiting = set(answers)
        while waiting and (ready := select.select(list(waiting), [], [], PROMPT)[0]):
            for sock in ready:
                part = b""
                with suppress(OSError):
                    part = sock.recv(2**16)
                answers[sock] += part
                if not part:
                    waiting.remove(sock)
        for sock in answers:
            sock.close()
        return list(answers.values())

    def is_well(self) -> bool:
        """Whether an honest request is answered at once, and the preview has neither grown nor complained."""
        begun = monotonic()
        answer = self.answer_to(self.head("GET / HTTP/1.1", "Connection: close"), 10 * PROMPT)
        late = monotonic() - begun
        faults = {
            f"answered after {late:.2f} s": late > PROMPT,
            f"an honest request is answered by {answer[:60]!r}": SITE.encode() not in answer,
            f"it has ended: {self.process.poll()}": self.process.poll() is not None,
            f"it has shown {(shown := self.shown())[-2000:]}": "Traceback" in shown,
            f"it takes {self.growth() / 2**20:.0f} MB more": self.growth() > GROWTH,
        }
        for fault, is_so in faults.items():
            if is_so:
                print(f"    {fault}")
        return not any(faults.values())

    def is_well_soon(self, crowd: int) -> bool:
        """The same, when it has got through what a crowd has sent at one time."""
        sleep(BREATH * crowd / CROWD)
        return self.is_well()

    def shown(self) -> str:
        return self.log.read_text(encoding="utf-8")

    def growth(self) -> int:
        return self.memory() - self.least

    def memory(self) -> int:
        """The most bytes that it ever took, where the system tells."""
        try:
            status = Path(f"/proc/{self.process.pid}/status").read_text(encoding="ascii")
        except OSError:
            return 0
        return int(re.findall(r"VmHWM:\s*(\d+)", status)[0]) * 1024

    def files(self) -> int:
        """How many files and connections it has open."""
        try:
            return len(os.listdir(f"/proc/{self.process.pid}/fd"))
        except OSError:
            return 0


def hostile(running: Running, draw: random.Random) -> tuple[bytes, bool]:
    """A request with some hostile parts, and whether it comes from a page of another origin."""

    def some(usual: str, odd: Sequence[str], share: float = 0.1) -> str:
        return draw.choice(odd) if draw.random() < share else usual

    steps = draw.choice([0, 0, 1, 2, 3, 8])
    way = "".join(some("/", SLASHES, 0.3) + draw.choice(UP) for _ in range(steps))
    path = some("", BEFORE) + draw.choice(BELOW) + way + some("/", SLASHES) + draw.choice(WANTED)
    path = some(some(path, CHANGING, 0.3), [path + "a" * number for number in (2_000, 20_000, 200_000)], 0.02)
    method = some("POST" if path in CHANGING else "GET", METHODS)
    origin = some(some("", [OWN], 0.5), ORIGINS, 0.3)
    sending = "Content-Type: application/json\r\nContent-Length: 2"
    lines = [
        f"{method} {path} {some('HTTP/1.1', VERSIONS)}",
        f"Host: {some(OWN_HOST, HOSTS)}",
        *([f"Origin: {origin}"] if origin or draw.random() < 0.1 else []),
        *filter(None, [some(sending if path in CHANGING else "", LINES, 0.2)]),
    ]
    end = some("\r\nConnection: close\r\n\r\n" + ("{}" if path in CHANGING else ""), ENDS)
    sent = ("\r\n".join(lines) + end).replace("{port}", str(running.port)).encode()
    foreign = any(f"Origin: {each}" in lines for each in ORIGINS)
    if draw.random() < 0.05:
        sent = sent[: draw.randrange(len(sent) + 1)]
    if draw.random() < 0.05:
        at = draw.randrange(len(sent) + 1)
        sent, foreign = sent[:at] + draw.randbytes(draw.randrange(20)) + sent[at:], False
    return sent, foreign and sent.count(b"\r\n\r\n") == 1


def statuses(answer: bytes) -> list[int]:
    return [int(found) for found in re.findall(rb"(?:^|(?<=\n))HTTP/1\.1 (\d{3}) ", answer)]


def requests_held(running: Running, requests: Sequence[tuple[bytes, bool]]) -> Iterator[bool]:
    """Whether each is answered by nothing from elsewhere, and to a page of another origin by a refusal."""
    answers = running.answers_to([sent for sent, _ in requests])
    for (sent, foreign), answer in zip(requests, answers, strict=True):
        let_out = any(each in answer for each in (SECRET.encode(), b"root:", b'"files"'))
        done = foreign and any(status < 400 for status in statuses(answer))
        if let_out or done:
            print(f"    {sent[:300]!r} is answered by {answer[:200]!r}")
        yield not let_out and not done


# What takes its time, its room or its connections ----------------------------------------------------------


def many_at_once(running: Running, crowd: int) -> bool:
    """Connections that are opened together and closed without a word."""
    together = [running.connected() for _ in range(crowd)]
    for sock in together:
        sock.close()
    return True


def many_halves(running: Running, crowd: int) -> bool:
    """Requests of which half is sent, by many at once; those who knock meanwhile are answered."""
    with crowded(running, crowd) as together:
        for number, sock in enumerate(together):
            sock.sendall(running.head()[: number % 40])
        return running.is_well()


def many_that_do_not_read(running: Running, crowd: int) -> bool:
    """Requests for a large file, by those who take nothing of it."""
    with crowded(running, crowd) as together:
        for sock in together:
            sock.sendall(running.head("GET /large.txt HTTP/1.1"))
        sleep(BREATH * crowd / CROWD)
        return running.is_well_soon(crowd) and left_alone(running)


def many_listeners(running: Running, crowd: int) -> bool:
    """Those who ask for news, more than are told of it, and never read them."""
    with crowded(running, crowd) as together:
        for sock in together:
            sock.sendall(running.head("GET /.preview/events HTTP/1.1"))
        return running.is_well_soon(crowd)


def endless_heads(running: Running, crowd: int) -> bool:
    """Lines of a head without end."""
    for _ in range(max(1, crowd // 100)):
        with suppress(OSError), running.connected() as sock:
            sock.sendall(running.head()[:-2])
            for number in range(10_000):
                sock.sendall(f"X-{number}: {'a' * 1000}\r\n".encode())
            return False
    return True


def endless_bodies(running: Running, crowd: int) -> bool:
    """Bodies of 100 MB, announced or in chunks, which are sent for as long as they are taken."""
    own = running.own_page()
    announced = {
        "announced": ["Content-Length: 104857600"],
        "in chunks": ["Transfer-Encoding: chunked"],
        "in chunks, though two bytes are announced": ["Content-Length: 2", "Transfer-Encoding: chunked"],
    }
    for line in ("POST /.preview/scratch/answer HTTP/1.1", "POST / HTTP/1.1", "GET / HTTP/1.1"):
        for what in announced.values():
            chunked = "chunked" in what[-1]
            chunk = b" " * 2**20
            part = b"100000\r\n" + chunk + b"\r\n" if chunked else chunk
            with suppress(OSError), running.connected(LONG) as sock:
                sock.sendall(running.head(line, *own, *what))
                for _ in range(100):
                    sock.sendall(part)
    return True


def slow_heads(running: Running, crowd: int) -> bool:
    """A letter now and then, by many at once: all are sent away."""
    with crowded(running, crowd) as together:
        text = running.head("GET / HTTP/1.1", "X: " + "a" * 1000)
        end = monotonic() + LONG
        at = 0
        while monotonic() < end:
            for sock in together:
                with suppress(OSError):
                    sock.sendall(text[at : at + 1])
            at += 1
            sleep(0.5)
        return left_alone(running)


def slow_bodies(running: Running, crowd: int) -> bool:
    """What is announced comes a letter at a time, after the head of an honest page: all are sent away."""
    own = [*running.own_page(), "Content-Length: 1000"]
    with crowded(running, crowd) as together:
        for sock in together:
            sock.sendall(running.head("POST /.preview/scratch/answer HTTP/1.1", *own))
        end = monotonic() + LONG
        while monotonic() < end:
            for sock in together:
                with suppress(OSError):
                    sock.sendall(b" ")
            sleep(0.5)
        return left_alone(running)


def pipelines(running: Running, crowd: int) -> bool:
    """Many requests in one go: each is answered, in turn, and nothing but the site is."""
    honest, out = running.head(), running.head("GET /../beside.txt HTTP/1.1")
    sent = (honest + out) * (crowd // 2) + running.head("GET / HTTP/1.1", "Connection: close")
    answer = running.answer_to(sent)
    expected = [200, 404] * (crowd // 2) + [200]
    return SECRET.encode() not in answer and statuses(answer) == expected


def broken_within(running: Running, crowd: int) -> bool:
    """What is no HTTP any more while an answer is being given."""
    for end in (b"zz\r\n", b"5\r\nab", b"\x00" * 100, b"ffffffffffffffffff\r\n", b"2\r\n{}X\r\n"):
        for path in ("/.preview/events", "/", "/large.txt", "/.preview/scratch"):
            with suppress(OSError), running.connected() as sock:
                sock.sendall(running.head(f"GET {path} HTTP/1.1", "Transfer-Encoding: chunked"))
                sleep(0.05)
                sock.sendall(end)
                sleep(0.05)
                sock.sendall(end)
    return True


def reset(running: Running, crowd: int) -> bool:
    """Connections that are torn down in the middle of an answer."""
    for number in range(crowd):
        sock = running.connected()
        sock.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, b"\x01\x00\x00\x00\x00\x00\x00\x00")
        sock.sendall(running.head(("GET /large.txt HTTP/1.1", "GET /.preview/events HTTP/1.1")[number % 2]))
        sock.close()
    return True


Trick = Callable[[Running, int], bool]
HEAVY: list[Trick] = [
    many_at_once,
    many_halves,
    reset,
    pipelines,
    broken_within,
    endless_heads,
    endless_bodies,
    many_listeners,
]
SLOW: list[Trick] = [slow_heads, slow_bodies, many_that_do_not_read]
"""What is tried side by side, by a share of the crowd each: it is waiting that takes long."""


def each_held(running: Running, crowd: int) -> Iterator[tuple[Trick, bool]]:
    """Each trick, and whether it held."""
    for trick in HEAVY:
        yield trick, trick(running, crowd) and running.is_well_soon(crowd)
    with ThreadPoolExecutor(len(SLOW)) as side_by_side:
        held = list(side_by_side.map(lambda trick: trick(running, crowd // len(SLOW)), SLOW))
    well = running.is_well_soon(crowd)
    yield from ((trick, each and well) for trick, each in zip(SLOW, held, strict=True))


@contextmanager
def crowded(running: Running, crowd: int) -> Iterator[list[socket.socket]]:
    together = [running.connected() for _ in range(crowd)]
    try:
        yield together
    finally:
        for sock in together:
            sock.close()


def left_alone(running: Running, within: float = 5 * LONG) -> bool:
    """Whether the preview has closed all connections before some seconds are over, where the system tells."""
    end = monotonic() + within
    while (more := running.files() - running.files_at_first) > FEW and monotonic() < end:
        sleep(0.2)
    if more > FEW:
        print(f"    {more} are still open")
    return more <= FEW


@contextmanager
def previewing() -> Iterator[Running]:
    with TemporaryDirectory() as name:
        ground = Path(name)
        write(ground, FILES)
        write(ground / "guide", HIDDEN)
        (ground / "guide/output/link").symlink_to(ground / "outside")
        (ground / "guide/output/link.txt").symlink_to(ground / "guide/beside.txt")
        log = ground / "log"
        begin = "from sitegen.begin import begin; begin()"
        command = [sys.executable, "-c", begin, "preview", str(ground / "guide")]
        with log.open("wb") as printed:
            process = subprocess.Popen(command, stdout=printed, stderr=subprocess.STDOUT)
        try:
            port = int(until(process, log, r"http://127\.0\.0\.1:(\d+)/"))
            until(process, log, r"(published)")
            yield Running(ground / "guide", process, log, port, tree(ground / "guide"))
        finally:
            process.terminate()
            process.wait(PATIENCE)


def until(process: subprocess.Popen[bytes], log: Path, pattern: str) -> str:
    """What the preview has printed, as soon as it has."""
    end = monotonic() + PATIENCE
    while not (found := re.search(pattern, log.read_text(encoding="utf-8"))):
        assert monotonic() < end, log.read_text(encoding="utf-8")
        assert process.poll() is None, log.read_text(encoding="utf-8")
        sleep(0.05)
    return found[1]


if __name__ == "__main__":
    wanted = [int(text) for text in sys.argv[1:]] + [REQUESTS, CROWD][len(sys.argv) - 1 :]
    draw = random.Random(1)
    with previewing() as running:
        requests, lives = [], []
        for begun in range(0, wanted[0], TOGETHER):
            some = [hostile(running, draw) for _ in range(min(TOGETHER, wanted[0] - begun))]
            requests += requests_held(running, some)
            lives.append(running.is_well())
        heavy = []
        for trick, held in each_held(running, wanted[1]):
            heavy.append(held)
            if not held:
                print(f"    fell: {trick.__name__}")
        as_it_was = tree(running.folder) == running.at_first
        print(told("requests made of hostile parts", requests))
        print(told("answered well within, after each hundred", lives))
        print(told(f"what takes time, room or connections, by {wanted[1]:,} at once", heavy))
        print(told("the guide's folder is as it was", [as_it_was]))
        print(f"the preview took {running.growth() / 2**20:.0f} MB at most beyond what it begins with")
    sys.exit(not all([*requests, *lives, *heavy, as_it_was]))
