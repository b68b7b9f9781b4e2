#!/usr/bin/env bash
# Sets up and runs the main job on an example: builds gelwright with the engine for browsers, plans the garage, leaves the books,
# drawings and lists in out/garage, and ends with the address of the page, the garage open in it. On a terminal the page stays
# until Ctrl-C; without one it is fetched once.
set -euo pipefail
cd "$(dirname "$0")/.."
export CGO_ENABLED=0
roof=examples/r01-garage.yaml
bash scripts/engine.sh 5
go build -o bin/gelwright ./cmd/gelwright
bin/gelwright plan "$roof" --forecast examples/forecast.csv --out out/garage
echo
if [ -t 1 ]; then
  echo "The page, with the garage open in it (Ctrl-C ends it; jobs are kept in out/jobs):"
  exec bin/gelwright serve --data out/jobs --open "$roof"
fi
exec {page}< <(exec bin/gelwright serve --data out/jobs --open "$roof")
server=$!
trap 'kill $server 2>/dev/null || true' EXIT
read -r -u "$page" address || { echo "the page did not start"; exit 1; }
host=${address#http://} host=${host%%/*}
exec {web}<>"/dev/tcp/${host%:*}/${host##*:}"
printf 'GET / HTTP/1.0\r\nHost: %s\r\n\r\n' "$host" >&"$web"
read -r -u "$web" _ status _
[ "$status" = 200 ] || { echo "the page answers with $status"; exit 1; }
echo "No terminal: the page was fetched once and is ended again. On one it stays: bash scripts/demo.sh. It was at"
echo "$address"
