#!/usr/bin/env bash
# Makes tests/upgrade/before: a studio on SQLite and one on PostgreSQL, as README.md says.
# For the code that is to be upgraded *from*; Debian, as root, with Redis, PostgreSQL and Chromium.
set -euo pipefail
cd "$(dirname "$0")/../.."

to=$PWD/tests/upgrade/before
scratch=$(mktemp -d)
started=()
clean_up() {
    for pid in "${started[@]}"; do kill "$pid" 2>/dev/null || true; done
    wait 2>/dev/null || true
    as_postgres "$bin/pg_ctl" -D "$scratch/data" -m immediate stop >/dev/null 2>&1 || true
    rm -rf "$scratch"
}
trap clean_up EXIT
free_port() {
    python -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])'
}

bin=$(find /usr/lib/postgresql -name initdb -printf '%h\n' | sort -V | tail -n 1)
as_postgres() { setpriv --reuid=postgres --regid=postgres --clear-groups "$@"; }
chmod 755 "$scratch"
install -d -o postgres "$scratch/data"
database_port=$(free_port)
as_postgres "$bin/initdb" -D "$scratch/data" -U fillwright --auth=trust \
    --encoding UTF8 --no-locale >/dev/null
as_postgres "$bin/pg_ctl" -D "$scratch/data" -w -l "$scratch/data/server.log" \
    -o "-p $database_port -c listen_addresses=127.0.0.1 -c unix_socket_directories=$scratch/data" \
    start >/dev/null
redis_port=$(free_port)
redis-server --bind 127.0.0.1 --port "$redis_port" --save '' --appendonly no --dir "$scratch" \
    >"$scratch/redis.log" 2>&1 &
started+=($!)
server=postgres://fillwright@127.0.0.1:$database_port

export SECRET_KEY=of-a-studio-that-nobody-has
export METRICS_TOKEN=of-a-studio-that-nobody-has
PORT=$(free_port)
export PORT
make_one() { # kind, address of the database, number of the Redis database
    mkdir -p "$scratch/$1/media"
    export DATABASE_URL=$2 MEDIA_ROOT=$scratch/$1/media REDIS_URL=redis://127.0.0.1:$redis_port/$3
    python -m tests.upgrade.make_studio "$scratch/$1"
    "dump_$1" # before the pages of a device ask for more
    python -m tests.upgrade.make_device "$scratch/$1"
    for name in facts cache; do xz -9e <"$scratch/$1/$name.json" >"$to/$1_$name.json.xz"; done
    for name in queue device; do cp "$scratch/$1/$name.json" "$to/$1_$name.json"; done
}
dump_sqlite() { # the file is whole: the last one to close it has written its journal back
    test ! -e "$scratch/studio.sqlite3-wal"
    xz -9e <"$scratch/studio.sqlite3" >"$to/sqlite_studio.sqlite3.xz"
}
dump_postgresql() { # without what only psql, or only a server of this version, understands
    "$bin/pg_dump" --no-owner --no-privileges --inserts --rows-per-insert=100 "$DATABASE_URL" |
        grep -v -e '^\\' -e '^SET transaction_timeout' |
        xz -9e >"$to/postgresql_studio.sql.xz"
}
make_one sqlite "sqlite:///$scratch/studio.sqlite3" 0
make_one postgresql "$server/postgres" 1
# Both show the same fills, so that nearly all of their files have the same names.
cp -r "$scratch/postgresql/media" "$scratch"
cp -r "$scratch/sqlite/media" "$scratch"
tar -C "$scratch" --exclude='*.mp3' --sort=name --owner=0 --group=0 --numeric-owner -c media |
    xz -9e >"$to/files.tar.xz"
