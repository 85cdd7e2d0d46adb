"""A real browser without a screen, spoken to through its own debugging pipe: no other library is needed for that."""

from __future__ import annotations

import base64
import fcntl
import json
import os
import select
import shutil
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

PROGRAMS = ("chromium", "chromium-browser", "google-chrome")
PATIENCE_SECONDS = 60.0

Json = dict[str, Any]


def browser_program() -> str | None:
    """Return the path of a browser that is installed here."""
    return next((found for name in PROGRAMS if (found := shutil.which(name)) is not None), None)


@dataclass(frozen=True, slots=True)
class Look:
    """How a page is opened."""

    width: int = 390
    height: int = 844
    script: bool = True
    now: int | None = None
    """Seconds since 1970 by the telephone's clock; None: the real one."""
    zone: str = "Europe/London"
    scale: float = 1.0


@dataclass
class Tab:
    """One page, opened once; ``asked`` holds the addresses that it asked for."""

    browser: Browser
    session: str
    asked: list[str] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    """What it complained of: refused by its policy, broken script."""

    def call(self, method: str, **parameters: object) -> Json:
        answer = self.browser.call(method, parameters, self.session)
        self._hear()
        return answer

    def _hear(self) -> None:
        for event in self.browser.heard(self.session):
            if event["method"] == "Network.requestWillBeSent":
                self.asked.append(event["params"]["request"]["url"])
            elif event["method"] in ("Log.entryAdded", "Runtime.exceptionThrown", "Runtime.consoleAPICalled"):
                self.said.append(json.dumps(event["params"]))

    def run(self, expression: str) -> object:
        """Let the page work something out; a fault in it fails the test."""
        answer = self.call("Runtime.evaluate", expression=expression, returnByValue=True)
        assert "exceptionDetails" not in answer, answer
        value: object = answer["result"].get("value")
        return value

    def words(self, expression: str) -> str:
        """Return a text of the page, with single spaces."""
        return " ".join(str(self.run(expression)).split())

    def figures(self, expression: str) -> list[float]:
        """Return a list of numbers."""
        value = self.run(f"[{expression}].flat(9)")
        assert isinstance(value, list)
        return [float(one) for one in value]

    def picture(self, *, whole: bool = False) -> bytes:
        answer = self.call("Page.captureScreenshot", format="png", captureBeyondViewport=whole)
        return base64.b64decode(answer["data"])

    def tree(self) -> list[Json]:
        """Return what a screen reader is told, in its order; what it skips is left out."""
        nodes = {node["nodeId"]: node for node in self.call("Accessibility.getFullAXTree")["nodes"]}
        ahead = [next(key for key, node in nodes.items() if "parentId" not in node)]
        told = []
        while ahead:
            node = nodes[ahead.pop()]
            told.append(node)
            ahead += [child for child in reversed(node.get("childIds", ())) if child in nodes]
        return [node for node in told if not node["ignored"]]


def named(tree: Sequence[Json], role: str) -> list[str]:
    """Return the names of all things of a role, in their order."""
    return [str(node.get("name", {}).get("value", "")) for node in tree if node["role"]["value"] == role]


class Browser:
    """One process; its messages are JSON with a zero byte between them."""

    def __init__(self, program: str, profile: Path) -> None:
        to_it, from_it = os.pipe(), os.pipe()
        reads, writes = _high(to_it[0]), _high(from_it[1])
        arguments = [
            program, "--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--no-first-run",
            "--disable-dev-shm-usage", "--remote-debugging-pipe", f"--user-data-dir={profile}", "about:blank",
        ]  # fmt: skip
        quiet = (os.POSIX_SPAWN_OPEN, 2, os.devnull, os.O_WRONLY, 0o600)
        actions = [(os.POSIX_SPAWN_DUP2, reads, 3), (os.POSIX_SPAWN_DUP2, writes, 4), quiet]
        self._process = os.posix_spawn(program, arguments, os.environ, file_actions=actions)
        for end in (reads, writes):
            os.close(end)
        self._in, self._out = to_it[1], from_it[0]
        self._number = 0
        self._rest = b""
        self._events: list[Json] = []

    def call(self, method: str, parameters: Json | None = None, session: str | None = None) -> Json:
        self._number += 1
        message: Json = {"id": self._number, "method": method, "params": parameters or {}}
        if session is not None:
            message["sessionId"] = session
        os.write(self._in, json.dumps(message).encode() + b"\0")
        while True:
            answer = self._read()
            if answer.get("id") == self._number:
                assert "error" not in answer, (method, answer["error"])
                result: Json = answer["result"]
                return result
            self._events.append(answer)

    def heard(self, session: str) -> list[Json]:
        """Return the events of a page since the last time, and forget them."""
        mine = [event for event in self._events if event.get("sessionId") == session]
        self._events = [event for event in self._events if event.get("sessionId") != session]
        return mine

    def wait_for(self, method: str, session: str) -> None:
        while not any(event["method"] == method and event.get("sessionId") == session for event in self._events):
            self._events.append(self._read())

    def _read(self) -> Json:
        deadline = time.monotonic() + PATIENCE_SECONDS
        while b"\0" not in self._rest:
            left = deadline - time.monotonic()
            if left <= 0 or not select.select([self._out], [], [], left)[0]:
                raise TimeoutError("the browser does not answer")
            self._rest += os.read(self._out, 1 << 20)
        first, _, self._rest = self._rest.partition(b"\0")
        message: Json = json.loads(first)
        return message

    def close(self) -> None:
        self.call("Browser.close")
        os.waitpid(self._process, 0)
        os.close(self._in)
        os.close(self._out)

    @contextmanager
    def opened(self, path: Path, look: Look) -> Iterator[Tab]:
        """Open a file with the network off, as somebody on the heath does."""
        target = self.call("Target.createTarget", {"url": "about:blank"})["targetId"]
        session = self.call("Target.attachToTarget", {"targetId": target, "flatten": True})["sessionId"]
        tab = Tab(self, session)
        for domain in ("Page", "Network", "Log", "Runtime"):
            tab.call(f"{domain}.enable")
        tab.call("Network.emulateNetworkConditions", offline=True, latency=0, downloadThroughput=0, uploadThroughput=0)
        tab.call("Emulation.setDeviceMetricsOverride", width=look.width, height=look.height,
                 deviceScaleFactor=look.scale, mobile=True)  # fmt: skip
        tab.call("Emulation.setTimezoneOverride", timezoneId=look.zone)
        if not look.script:
            tab.call("Emulation.setScriptExecutionDisabled", value=True)
        if look.now is not None:
            tab.call("Page.addScriptToEvaluateOnNewDocument", source=f"Date.now = () => {look.now * 1000}")
        tab.call("Page.navigate", url=path.as_uri())
        self.wait_for("Page.loadEventFired", session)
        tab.call("Page.getNavigationHistory")
        yield tab
        self.call("Target.closeTarget", {"targetId": target})


def _high(end: int) -> int:
    """Return the same end of a pipe under a number that is none of those which the browser speaks through."""
    moved = fcntl.fcntl(end, fcntl.F_DUPFD_CLOEXEC, 10)
    os.close(end)
    return moved
