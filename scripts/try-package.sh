#!/usr/bin/env bash
# Tries what scripts/package.sh has made, on a clean Debian: lintian finds nothing that is not explained; in a root that mmdebstrap
# makes, the package is installed, its service's own line starts the server as its user, /healthz answers, a job is made, the package is
# installed again over it as a newer version and the job is still there, the doctor finds nothing wrong, removing and purging leave
# the job where it is. Then the container is run by podman, where this machine lets it, and asked for its health.
#
#   scripts/try-package.sh     after scripts/package.sh; wants root, and installs lintian, mmdebstrap and curl where they are not there
set -euo pipefail
cd "$(dirname "$0")/.."
[ "$(id -u)" = 0 ] || { echo "a clean root is made by root alone: run it with sudo"; exit 1; }
need=()
for p in lintian mmdebstrap curl; do command -v $p >/dev/null 2>&1 || need+=($p); done
command -v systemd-analyze >/dev/null 2>&1 || need+=(systemd)
[ ${#need[@]} = 0 ] || { echo "installing ${need[*]}"; apt-get update -qq; DEBIAN_FRONTEND=noninteractive apt-get install -y -qq "${need[@]}" >/dev/null; }
say() { printf '\n== %s\n' "$*"; }
fail() { echo "FAILED: $*"; exit 1; }

deb=$(ls -t out/gelwright_*.deb 2>/dev/null | head -1)
[ -n "$deb" ] || fail "there is no package: run scripts/package.sh"
say "lintian on $(basename "$deb")"
lintian --fail-on error,warning --info --display-info "$deb" || fail "lintian"
echo "nothing but what is overridden with a reason:"
sed -n '/^#/p' packaging/deb/lintian-overrides

say "the service file"
work=$(mktemp -d)
server=""
ended() {
  [ -z "$server" ] || kill "$server" 2>/dev/null || true
  mountpoint -q "$work/clean/proc" && umount "$work/clean/proc" || true
  rm -rf "$work"
}
trap ended EXIT
mkdir -p "$work/unit/usr/bin" && cp packaging/gelwright.service "$work/unit/" && cp out/package/gelwright "$work/unit/usr/bin/"
sed "s|/usr/bin/gelwright|$work/unit/usr/bin/gelwright|" packaging/gelwright.service >"$work/unit/gelwright.service"
systemd-analyze verify "$work/unit/gelwright.service" 2>&1 | grep -v -E 'Unknown user|man gelwright|Failed to (open|connect)' || true
systemd-analyze security --offline=true "$work/unit/gelwright.service" | tail -1

say "a clean root"
sources=/etc/apt/sources.list.d/debian.sources
[ -s "$sources" ] || sources=/etc/apt/sources.list
suite=$(. /etc/os-release && echo "$VERSION_CODENAME")
base=${BASE:-}
if [ -z "$base" ]; then
  # The way to the archive is this machine's own.
  options=()
  for f in /etc/apt/apt.conf.d/*; do
    if grep -qiE '^ *Acquire' "$f"; then options+=("--aptopt=$f"); fi
  done
  mmdebstrap --quiet --variant=minbase --include=adduser,ca-certificates "${options[@]}" "$suite" "$work/base.tar" - <"$sources" || fail "mmdebstrap"
  base=$work/base.tar
fi
mkdir -p "$work/clean" && tar -xf "$base" -C "$work/clean" --exclude='./dev/*'
mkdir -p "$work/clean/dev" && for d in null zero random urandom; do cp -a /dev/$d "$work/clean/dev/"; done
mount -t proc proc "$work/clean/proc"
inside() { chroot "$work/clean" /usr/bin/env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin LANG=C.UTF-8 "$@"; }
echo "$suite, $(inside dpkg -l | grep -c ^ii) packages"

start() {
  # The service's own line, as its user, with the options of its file.
  local line
  line=$(sed -n 's/^ExecStart=//p' "$work/clean/usr/lib/systemd/system/gelwright.service")
  chroot --userspec=gelwright:gelwright "$work/clean" /usr/bin/env -i PATH=/usr/bin:/bin HOME=/var/lib/gelwright /bin/sh -c \
    ". /etc/gelwright/gelwright.conf; umask 077; exec $line" >"$work/out" 2>"$work/log" &
  server=$!
  for _ in $(seq 100); do
    if curl -fsS http://127.0.0.1:8080/healthz >"$work/health" 2>/dev/null; then
      echo "it answers: $(cat "$work/health"), as $(ps -o user= -p "$server" || true)"
      return
    fi
    kill -0 "$server" 2>/dev/null || { cat "$work/out" "$work/log"; fail "the server ended"; }
    sleep 0.1
  done
  cat "$work/log"
  fail "no health"
}
stop() { kill "$server"; wait "$server" || fail "the server's end"; server=""; }

say "install and start"
cp "$deb" "$work/clean/tmp/gelwright.deb"
inside dpkg -i /tmp/gelwright.deb
[ "$(stat -c '%U %a' "$work/clean/var/lib/gelwright" 2>/dev/null | awk '{print $2}')" = 700 ] || fail "the data folder is open"
inside gelwright --version
start
job=$(curl -fsS -X POST -H 'Content-Type: application/json' http://127.0.0.1:8080/api/jobs \
  -d '{"title":"Garage","who":"try","state":{"id":"s1","document":{"roof":{}}}}' | sed 's/.*"id":"\([0-9a-f]*\)".*/\1/')
[ ${#job} = 32 ] || fail "no job was made: $job"
echo "job $job is made"
stop

say "upgrade over what is kept"
mkdir -p "$work/newer"
dpkg-deb -R "$deb" "$work/newer"
sed -i 's/^Version: .*/&+1/' "$work/newer/DEBIAN/control"
echo '# changed by hand' >>"$work/clean/etc/gelwright/gelwright.conf"
dpkg-deb --root-owner-group -b "$work/newer" "$work/clean/tmp/newer.deb" >/dev/null
inside dpkg -i /tmp/newer.deb
grep -q 'changed by hand' "$work/clean/etc/gelwright/gelwright.conf" || fail "the settings were written over"
start
curl -fsS "http://127.0.0.1:8080/api/jobs/$job" >/dev/null || fail "the job is gone"
echo "job $job is there"
chroot --userspec=gelwright:gelwright "$work/clean" /usr/bin/gelwright doctor --data /var/lib/gelwright --listen 127.0.0.1:8080 || fail "the doctor"
stop

say "remove, then purge: what is kept stays"
inside dpkg -r gelwright
[ -s "$work/clean/var/lib/gelwright/gelwright.db" ] && [ ! -e "$work/clean/usr/bin/gelwright" ] || fail "remove"
inside dpkg -P gelwright
[ -s "$work/clean/var/lib/gelwright/gelwright.db" ] && [ ! -e "$work/clean/etc/gelwright/gelwright.conf" ] || fail "purge"
inside dpkg -i /tmp/gelwright.deb >/dev/null
start
curl -fsS "http://127.0.0.1:8080/api/jobs/$job" >/dev/null || fail "installed again the job is gone"
echo "installed again: job $job is there"
stop

say "the container"
image=$(ls -t out/gelwright-*.oci.tar 2>/dev/null | head -1)
if [ -z "$image" ] || ! command -v podman >/dev/null 2>&1; then
  echo "not tried: podman or the container is not there"
  exit 0
fi
pod=(podman --root "$work/pods" --runroot "$work/podrun" --storage-driver vfs --cgroup-manager cgroupfs --events-backend none)
id=$("${pod[@]}" load --quiet --input "$image" | sed 's/^Loaded image[^:]*: *//')
mkdir -p "$work/data" && chown 65532:65532 "$work/data" && chmod 700 "$work/data"
"${pod[@]}" run --rm --network host --cgroups disabled --ulimit host --read-only --tmpfs /tmp --cap-drop all --security-opt no-new-privileges \
  --volume "$work/data:/data" "$id" serve --data /data --listen 127.0.0.1:8080 >"$work/out" 2>"$work/log" &
server=$!
for _ in $(seq 200); do
  if curl -fsS http://127.0.0.1:8080/healthz >"$work/health" 2>/dev/null; then
    echo "it answers from within: $(cat "$work/health")"
    stop
    say "all tried"
    exit 0
  fi
  kill -0 "$server" 2>/dev/null || break
  sleep 0.1
done
server=""
echo "podman does not run it on this machine: $(tail -3 "$work/log" | tr '\n' ' ')"
