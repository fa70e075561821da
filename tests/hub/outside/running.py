"""A hub with the demonstration site in a folder of its own, for the checks beside this file."""

import json
import re
import subprocess
import urllib.request


class Hub:
    """Runs from `with` to its end; `ask` speaks to it with its token."""

    def __init__(self, program, folder):
        self.words = [program, "hub", "--data", f"{folder}/data", "--port", "0"]

    def __enter__(self):
        self.process = subprocess.Popen(self.words, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
        for line in self.process.stdout:
            if found := re.search(r"(http://[^/]+)/\?t=(\S+)", line):
                self.origin, self.token = found.groups()
                return self
        raise RuntimeError("the hub ended before it said its address")

    def __exit__(self, *_):
        self.process.terminate()
        self.process.wait()

    def ask(self, path, method="GET"):
        headers = {"authorization": f"Bearer {self.token}"}
        request = urllib.request.Request(self.origin + path, headers=headers, method=method)
        with urllib.request.urlopen(request) as answer:
            return json.load(answer)
