"""The suite of the photo stores over an S3-compatible server on loopback: moto (PyPI).

Runs the Rust test with the address of the server in its environment; the first argument,
the hub's program, is not needed here.
"""

import os
import subprocess
import sys
import urllib.request

from moto.server import ThreadedMotoServer


def main():
    server = ThreadedMotoServer(ip_address="127.0.0.1", port=0, verbose=False)
    server.start()
    try:
        host, port = server.get_host_and_port()
        endpoint = f"http://{host}:{port}"
        urllib.request.urlopen(urllib.request.Request(f"{endpoint}/photos", method="PUT")).read()
        env = os.environ | {
            "SLOWSTONE_TEST_S3": "s3://photos", "AWS_ENDPOINT": endpoint, "AWS_ALLOW_HTTP": "true",
            "AWS_ACCESS_KEY_ID": "test", "AWS_SECRET_ACCESS_KEY": "test", "AWS_REGION": "us-east-1",
        }
        words = ["cargo", "test", "-q", "-p", "slowstone-store", "--test", "blob_conformance"]
        done = subprocess.run(words, env=env)
        # What the suite stored lies on the server.
        listed = urllib.request.urlopen(f"{endpoint}/photos?list-type=2").read()
        assert done.returncode or listed.count(b"<Key>") >= 3, "nothing came to the server"
        return done.returncode
    finally:
        server.stop()


if __name__ == "__main__":
    sys.exit(main())
