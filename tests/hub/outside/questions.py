"""Questions by the hundred to a running hub, made from its own OpenAPI document.

schemathesis (PyPI) makes good and bad requests for every operation and holds each answer
against the document: no 5xx, only the statuses, media types and bodies that are described,
and nonsense is refused. The ids of the demonstration site are put into the document first,
so that not every question ends at "there is no such site".

Run by `cargo xtask test` in an environment of its own; alone:
    python questions.py PATH-OF-SLOWSTONE
"""

import json
import pathlib
import subprocess
import sys
import tempfile

from running import Hub

# What never ends, opens a door to the network, or ends the offer to a phone at random.
LEFT_OUT = ["/api/watch", "/api/lan"]
CHECKS = [
    "not_a_server_error",
    "status_code_conformance",
    "content_type_conformance",
    "response_schema_conformance",
    "negative_data_rejection",
    "unsupported_method",
]


def with_real_ids(document, real):
    """Every id is a real one or one that cannot be."""
    for methods in document["paths"].values():
        for operation in methods.values():
            for parameter in operation["parameters"]:
                values = real.get(parameter["name"])
                if parameter["in"] == "path" and values:
                    parameter["schema"] = {"type": "string", "enum": [*values, "nobody-knows"]}
    return document


def main(program):
    with tempfile.TemporaryDirectory() as folder, Hub(program, folder) as hub:
        site = hub.ask("/api/sites")[0]["id"]
        view = hub.ask(f"/api/sites/{site}")
        pours = [s["pour"]["id"] for s in view["steps"] if s["pour"]]
        photos = hub.ask(f"/api/sites/{site}/colours")["photos"]
        document = with_real_ids(hub.ask("/api/openapi.json"), {
            "site": [site], "pour": pours[:2], "record": pours[:1],
            "photo": [p["id"] for p in photos[:2]], "hash": [p["hash"] for p in photos[:2]],
            "flight": [f["id"] for f in view["flights"][:1]], "date": ["2026-10-10", "2026-02-30"],
        })
        schema = pathlib.Path(folder, "openapi.json")
        schema.write_text(json.dumps(document))
        # Too much at once is refused before it is read.
        pathlib.Path(folder, "schemathesis.toml").write_text(
            "[checks.negative_data_rejection]\n"
            "expected-statuses = [400, 401, 403, 404, 405, 406, 409, 410, 413, 415, 422, 429]\n"
        )
        words = [
            "run", str(schema), "--url", hub.origin, "--seed", "1", "--max-examples", "6",
            "--phases", "coverage,fuzzing", "--generation-deterministic",
            "--checks", ",".join(CHECKS), "--continue-on-failure", "--no-color", "--warnings", "off",
            "--suppress-health-check", "all", "--header", f"Authorization: Bearer {hub.token}",
        ]
        for path in LEFT_OUT:
            words += ["--exclude-path", path]
        done = subprocess.run([pathlib.Path(sys.executable).with_name("schemathesis"), *words], cwd=folder)
        hub.ask("/api/health")
        return done.returncode


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
