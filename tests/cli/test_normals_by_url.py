"""A normals table given as a URL: fetched through the door, kept for the next run, and exit 3 when it cannot be had."""

import shutil
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path
from threading import Thread

import pytest
from click.testing import CliRunner

from seasonplan.cli import main

SHIPPED = Path(__file__).parent.parent.parent / "scenarios" / "fallowmere"


@pytest.fixture
def table_address(monkeypatch, tmp_path):
    """The scenario's normals behind an address of this machine; the cache in a folder of the test."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    content = (SHIPPED / "normals.csv").read_bytes()

    class Table(BaseHTTPRequestHandler):
        def do_GET(self):
            found = self.path == "/normals.csv"
            self.send_response(200 if found else 404)
            self.end_headers()
            self.wfile.write(content if found else b"none")

        def log_message(self, *args):
            pass

    server = HTTPServer(("127.0.0.1", 0), Table)
    Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()


def garden(tmp_path, address) -> Path:
    folder = tmp_path / "garden"
    shutil.copytree(SHIPPED, folder, ignore=shutil.ignore_patterns("out", "normals.csv"))
    text = (folder / "scenario.toml").read_text(encoding="utf-8")
    (folder / "scenario.toml").write_text(text.replace('"normals.csv"', f'"{address}"'), encoding="utf-8")
    return folder


def test_a_table_by_url_plans_and_is_there_offline(table_address, tmp_path):
    folder = garden(tmp_path, f"{table_address}/normals.csv")
    online = CliRunner().invoke(main, ["nights", str(folder), "--json"])
    assert online.exit_code == 0, online.output
    offline = CliRunner().invoke(main, ["nights", str(folder), "--json", "--offline"])
    assert offline.exit_code == 0 and offline.stdout == online.stdout
    shipped = CliRunner().invoke(main, ["nights", str(SHIPPED), "--json"])
    assert shipped.stdout == online.stdout


def test_a_table_that_is_not_there_ends_with_exit_3_and_writes_nothing(table_address, tmp_path):
    folder = garden(tmp_path, f"{table_address}/gone.csv")
    result = CliRunner().invoke(main, ["plan", str(folder), "--today", "2027-04-01"])
    assert result.exit_code == 3 and "404" in result.output, result.output
    assert not (folder / "out").exists()
