# Read by start.sh and test.sh (not run by itself): finds or brings what cargo xtask itself
# needs before it can bring the rest: a C compiler, Rust, Node and npm. It says what it is
# going to do before it does it, and installs nothing that is there and new enough.
# On Debian and its relatives packages come by apt-get, as root or through sudo; elsewhere
# it says what is missing and how people get it.

oldest_rust=1.92
oldest_node=20.19
fetched_node=22.23.3
fetched_npm=11.19.1

say() { printf 'slowstone: %s\n' "$*" >&2; }
give_up() { say "$*"; exit 1; }
has() { command -v "$1" >/dev/null 2>&1; }

# at_least 20.19 22.1.0: is the second version not older than the first?
at_least() {
    [ "$(printf '%s\n%s\n' "$1" "$2" | sort -t. -k1,1n -k2,2n | head -n 1)" = "$1" ]
}

packages() {
    say "installing $* (by apt-get): $why"
    has apt-get || give_up "this system has no apt-get: install the like of \"$*\" here, then start again"
    as_root=''
    if [ "$(id -u)" != 0 ]; then
        has sudo || give_up "not root, and there is no sudo. As root: apt-get install --no-install-recommends $*"
        as_root=sudo
    fi
    if [ -z "${lists_are_fresh:-}" ]; then
        $as_root apt-get -q update || give_up "apt-get update failed, see above: is the network there?"
        lists_are_fresh=1
    fi
    $as_root env DEBIAN_FRONTEND=noninteractive apt-get -q install -y --no-install-recommends "$@" ||
        give_up "apt-get could not install $*, see above"
}

rust_version() { rustc --version 2>/dev/null | cut -d' ' -f2; }
rust_is_there() { has cargo && has rustc && at_least "$oldest_rust" "$(rust_version)"; }
node_version() { node --version 2>/dev/null | tr -d v; }
# Node 21 and 22 below 22.12 are refused by the tools of the web app (ui/package.json).
node_is_there() {
    has node && has npm || return 1
    case $(node_version) in 21.*|22.[0-9].*|22.1[01].*) return 1 ;; esac
    at_least "$oldest_node" "$(node_version)"
}

why='links every program, and SQLite is written in C'
has cc || packages build-essential

if [ -e /etc/debian_version ] && ! [ -s /etc/ssl/certs/ca-certificates.crt ]; then
    why='the authorities by which downloads are checked'
    packages ca-certificates
fi

# Rust as rustup keeps it, if it is there but not on the PATH of this shell.
if ! has cargo && [ -x "$HOME/.cargo/bin/cargo" ]; then PATH=$HOME/.cargo/bin:$PATH; fi
if ! rust_is_there; then
    if has cargo; then say "Rust $(rust_version) is older than $oldest_rust"; fi
    if has rustup; then
        say 'fetching the stable Rust by rustup'
        rustup toolchain install stable --profile minimal && rustup default stable || say 'rustup could not'
    fi
fi
if ! rust_is_there; then
    # Debian's Rust for building browsers is newer than its ordinary one.
    why="Rust $oldest_rust or later, here and for the browser"
    if has apt-get; then packages rustc-web cargo-web rust-web-src lld; fi
    PATH=/usr/bin:$PATH
    rust_is_there || give_up "there is no Rust $oldest_rust or later. Get it by rustup (https://rustup.rs), then start again"
fi

if ! node_is_there; then
    if has node; then say "Node $(node_version) is not one that the web app is built with ($oldest_node or later)"; fi
    case $(uname -m) in
        x86_64) kind=x64 ;;
        aarch64) kind=arm64 ;;
        *) give_up "for this processor ($(uname -m)) npm has no Node: install Node $oldest_node or later, then start again" ;;
    esac
    kept=$PWD/target/node
    PATH=$kept/node_modules/node-linux-$kind/bin:$kept/node_modules/.bin:$PATH
    if ! node_is_there; then
        why='npm, which brings the packages of the web app and a Node that is new enough'
        has npm || packages nodejs npm
        say "fetching Node $fetched_node and npm $fetched_npm by npm into target/node (only this checkout uses them)"
        mkdir -p "$kept"
        npm install --no-audit --no-fund --no-save --prefix "$kept" \
            "node-linux-$kind@$fetched_node" "npm@$fetched_npm" ||
            give_up "npm could not fetch Node, see above. Install Node $oldest_node or later, then start again"
        hash -r
        node_is_there || give_up "there is no Node $oldest_node or later: install one, then start again"
    fi
fi
export PATH
