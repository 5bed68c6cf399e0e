"""The command that serves the live page: what it prints, what it keeps, and how it fails."""

from __future__ import annotations

import shutil
import socket
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from seasonplan.cli import main

pytestmark = pytest.mark.usefixtures("remembered_plans")

pytest.importorskip("uvicorn", reason="the live page needs its extra: pip install '.[serve]'")
GARDEN = Path(__file__).parents[2] / "scenarios" / "wattle-bend"


@pytest.fixture(scope="module")
def garden(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("serve") / "garden"
    shutil.copytree(GARDEN, folder, ignore=shutil.ignore_patterns("out"))
    return folder


def serve(garden: Path, monkeypatch, *more: str):
    """The command with a server that ends at once; (result, what was to be served)."""
    import uvicorn

    seen = []
    monkeypatch.setattr(uvicorn.Server, "run", lambda self, sockets: seen.append((self.config.app, sockets[0])))
    monkeypatch.setattr("seasonplan.cli.serve.own_addresses", lambda: ["192.168.7.7"])
    result = CliRunner().invoke(main, ["serve", str(garden), "--today", "2027-11-20", "--port", "8675", *more])
    for _, listening in seen:
        listening.close()
    return result, seen


def test_on_this_machine_only_unless_asked(garden, monkeypatch):
    result, [(app, listening)] = serve(garden, monkeypatch)
    assert result.exit_code == 0 and "http://127.0.0.1:8675/" in result.output
    assert "pairing word" not in result.output and "192.168" not in result.output
    assert not app.guard.paired and app.guard.hosts == {"127.0.0.1:8675", "localhost:8675", "[::1]:8675"}
    assert "/calendar/" in result.output and (garden / "out" / "plan.json").exists()


def test_for_the_home_network_it_prints_address_code_and_word(garden, monkeypatch):
    result, [(app, _)] = serve(garden, monkeypatch, "--lan")
    assert result.exit_code == 0 and app.guard.paired and "192.168.7.7:8675" in app.guard.hosts
    assert f"http://192.168.7.7:8675/   pairing word: {app.guard.word}" in result.output
    assert "\u2588" in result.output or "\u2584" in result.output, "a QR code of half blocks"
    again, [(same, _)] = serve(garden, monkeypatch, "--lan")
    assert same.guard.word == app.guard.word, "phones stay paired"
    new, [(other, _)] = serve(garden, monkeypatch, "--lan", "--new-word")
    assert other.guard.word != app.guard.word and new.exit_code == 0


def test_a_port_in_use_is_told(garden, monkeypatch):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        result = CliRunner().invoke(main, ["serve", str(garden), "--today", "2027-11-20", "--port",
                                           str(taken.getsockname()[1])])
    assert result.exit_code == 2 and "cannot be used" in result.output and "--port" in result.output


def test_without_its_extra_it_says_what_to_install(garden, monkeypatch):
    monkeypatch.setitem(sys.modules, "uvicorn", None)
    result = CliRunner().invoke(main, ["serve", str(garden)])
    assert result.exit_code == 2 and "pip install 'seasonplan[serve]'" in result.output


def test_wrong_input_is_told_and_nothing_is_served(tmp_path, monkeypatch):
    (tmp_path / "scenario.toml").write_text("[site]\nnam = 'x'\n")
    result, seen = serve(tmp_path, monkeypatch)
    assert result.exit_code == 2 and "scenario.toml" in result.output and seen == []
