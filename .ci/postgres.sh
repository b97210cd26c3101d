#!/usr/bin/env bash
# A throw-away PostgreSQL server on this machine, for the tests.
#
#   eval "$(.ci/postgres.sh start)"   starts it and sets CLAYBENCH_TEST_POSTGRES
#   eval "$(.ci/postgres.sh stop)"    stops it and removes every trace
#
# Nothing is kept: fsync is off and the data lies in a temporary folder. Listens on the loopback only.
set -euo pipefail

programs() {
    local found
    for found in /usr/lib/postgresql/*/bin "$(dirname "$(readlink -f "$(command -v initdb || echo /)")")"; do
        if [ -x "$found/initdb" ] && [ -x "$found/pg_ctl" ]; then
            echo "$found"
            return
        fi
    done
}

# PostgreSQL refuses to run as root, so root borrows an account without rights.
unprivileged() {
    if [ "$(id -u)" -ne 0 ]; then
        "$@"
    else
        (cd / && setpriv --reuid=postgres --regid=postgres --clear-groups "$@")
    fi
}

install_server() {
    if [ "$(id -u)" -ne 0 ]; then
        echo "PostgreSQL is not installed; install its server package and try again." >&2
        exit 1
    fi
    export DEBIAN_FRONTEND=noninteractive
    apt-get update -q >&2
    apt-get install -y -q --no-install-recommends postgresql >&2
}

start() {
    local bin home port
    bin=$(programs)
    if [ -z "$bin" ]; then
        install_server
        bin=$(programs)
    fi
    if [ "$(id -u)" -eq 0 ] && ! id postgres >/dev/null 2>&1; then
        useradd --system --no-create-home postgres
    fi
    home=$(mktemp -d "${TMPDIR:-/tmp}/claybench-postgres.XXXXXX")
    chmod 700 "$home"
    [ "$(id -u)" -ne 0 ] || chown postgres: "$home"
    port=$(python3 -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])')
    unprivileged "$bin/initdb" -D "$home/data" -U claybench --auth=trust --encoding=UTF8 --locale=C \
        >"$home.log" 2>&1 || { cat "$home.log" >&2; exit 1; }
    unprivileged "$bin/pg_ctl" -D "$home/data" -l "$home/server.log" -w -t 60 \
        -o "-h 127.0.0.1 -p $port -k $home -F -c synchronous_commit=off -c full_page_writes=off -c jit=off" start \
        >>"$home.log" 2>&1 || { cat "$home.log" >&2; exit 1; }
    rm -f "$home.log"
    echo "export CLAYBENCH_TEST_POSTGRES=postgresql://claybench@127.0.0.1:$port/postgres"
    echo "export CLAYBENCH_TEST_POSTGRES_HOME=$home"
}

stop() {
    local home=${CLAYBENCH_TEST_POSTGRES_HOME:-}
    case "$home" in
    */claybench-postgres.*) ;;
    *)
        echo "No server of these tests is known here." >&2
        exit 1
        ;;
    esac
    unprivileged "$(programs)/pg_ctl" -D "$home/data" -m immediate -w stop >&2 || true
    rm -rf "$home"
    echo "unset CLAYBENCH_TEST_POSTGRES CLAYBENCH_TEST_POSTGRES_HOME"
}

case "${1:-start}" in
start) start ;;
stop) stop ;;
*)
    echo "usage: $0 [start|stop]" >&2
    exit 2
    ;;
esac
