"""A text editor's side of the language server protocol, for a YAML language server that runs beside it on this machine."""

from __future__ import annotations

import json
import os
import select
import shutil
import subprocess
from pathlib import Path
from types import TracebackType
from typing import Any

NAMED_IN = "YAML_LANGUAGE_SERVER"
"""The environment's word for the server's program, where it isn't on the path."""
PATIENCE_S = 60.0
"""How long an answer is waited for before the server counts as broken; it reads the schema meanwhile."""


def server() -> tuple[list[str], str]:
    """The command that starts the server, or an empty one and why there is none."""
    if shutil.which("node") is None:
        return [], "there is no node on this machine, which the YAML language server runs on"
    found = os.environ.get(NAMED_IN) or shutil.which("yaml-language-server")
    if not found or not Path(found).exists():
        return (
            [],
            f"there is no yaml-language-server here: `npm install yaml-language-server`, then {NAMED_IN}=its bin",
        )
    return ["node", str(Path(found).resolve()), "--stdio"], ""


class Editor:
    """One file open in an editor, with a schema for it."""

    def __init__(self, command: list[str], folder: Path, schema: Path) -> None:
        self.folder, self._next, self._buffer = folder, 0, b""
        self._schema = schema.as_uri()
        self.diagnostics: dict[str, list[dict[str, Any]]] = {}
        self._server = subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, cwd=folder
        )

    def __enter__(self) -> Editor:
        self.ask("initialize", {"processId": None, "rootUri": self.folder.as_uri(), "capabilities": {}})
        self._tell("initialized", {})
        self._tell("workspace/didChangeConfiguration", {"settings": {"yaml": self._settings()}})
        return self

    def __exit__(self, kind: type[BaseException] | None, _: object, __: TracebackType | None) -> None:
        if kind is None:
            self.ask("shutdown", None)
            self._tell("exit", None)
        self._server.kill()
        self._server.wait()
        for pipe in (self._server.stdin, self._server.stdout):
            assert pipe
            pipe.close()

    def open(self, name: str, text: str) -> str:
        """Show a text as a file; its address."""
        uri = (self.folder / name).as_uri()
        document = {"uri": uri, "languageId": "yaml", "version": 1, "text": text}
        self._tell("textDocument/didOpen", {"textDocument": document})
        return uri

    def messages(self, uri: str) -> list[tuple[int, str]]:
        """What the server finds wrong in a file, by line, once it has said so."""
        while uri not in self.diagnostics:
            self._receive()
        return [(one["range"]["start"]["line"] + 1, one["message"]) for one in self.diagnostics[uri]]

    def at(self, asked: str, uri: str, line: int, column: int) -> Any:
        """A hover or the completions at a place, both counted from 1."""
        position = {"line": line - 1, "character": column - 1}
        return self.ask(f"textDocument/{asked}", {"textDocument": {"uri": uri}, "position": position})

    def ask(self, method: str, params: Any) -> Any:
        self._next += 1
        number = self._next
        self._send({"id": number, "method": method, "params": params})
        while True:
            answer = self._receive()
            if answer.get("id") == number and "method" not in answer:
                assert "error" not in answer, answer
                return answer.get("result")

    def _settings(self) -> dict[str, Any]:
        return {
            "schemas": {self._schema: "*.yaml"},
            "validate": True,
            "hover": True,
            "completion": True,
            "schemaStore": {"enable": False},
        }

    def _tell(self, method: str, params: Any) -> None:
        self._send({"method": method, "params": params})

    def _send(self, message: dict[str, Any]) -> None:
        body = json.dumps({"jsonrpc": "2.0", **message}).encode()
        assert self._server.stdin
        self._server.stdin.write(b"Content-Length: %d\r\n\r\n" % len(body) + body)
        self._server.stdin.flush()

    def _receive(self) -> dict[str, Any]:
        """The next message; what the server asks of the editor is answered, and what it found wrong is kept."""
        head = self._until(b"\r\n\r\n")
        length = next(int(line[15:]) for line in head.split(b"\r\n") if line.startswith(b"Content-Length:"))
        message: dict[str, Any] = json.loads(self._take(length))
        if message.get("method") == "textDocument/publishDiagnostics":
            self.diagnostics[message["params"]["uri"]] = message["params"]["diagnostics"]
        elif "method" in message and "id" in message:
            settings = message["method"] == "workspace/configuration"
            asked = message.get("params", {}).get("items", ()) if settings else ()
            result = [self._settings() if one.get("section") == "yaml" else {} for one in asked]
            self._send({"id": message["id"], "result": result if settings else None})
        return message

    def _until(self, mark: bytes) -> bytes:
        while mark not in self._buffer:
            self._fill()
        head, self._buffer = self._buffer.split(mark, 1)
        return head

    def _take(self, length: int) -> bytes:
        while len(self._buffer) < length:
            self._fill()
        body, self._buffer = self._buffer[:length], self._buffer[length:]
        return body

    def _fill(self) -> None:
        assert self._server.stdout
        ready, _, _ = select.select([self._server.stdout], [], [], PATIENCE_S)
        assert ready, "the language server says nothing"
        more = os.read(self._server.stdout.fileno(), 65536)
        assert more, "the language server has ended"
        self._buffer += more
