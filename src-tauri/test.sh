#!/bin/sh
# The second command: brings what is missing (toolchain.sh) and runs every test there is.
# Words go to `cargo xtask test`.
set -eu
cd "$(dirname "$0")/.."
. src-tauri/toolchain.sh
exec cargo xtask test "$@"
