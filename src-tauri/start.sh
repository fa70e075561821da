#!/bin/sh
# The first command: brings what is missing (toolchain.sh), builds, starts the hub with the
# demonstration and prints its address. All words go to `cargo xtask run`; what they mean:
# README.md, "Start it".
set -eu
cd "$(dirname "$0")/.."
. src-tauri/toolchain.sh
exec cargo xtask run "$@"
