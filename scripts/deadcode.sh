#!/usr/bin/env bash
# Names every function that only tests reach, or nothing: it is to be connected or deleted.
# A function counts as reached when a command of the product reaches it, on this machine or
# as WebAssembly. internal/steady, internal/published, the three
# servers for tests and bench/load, which is a benchmark of package testing, are left out.
set -euo pipefail
cd "$(dirname "$0")/.."
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
go build -modfile=tools/lint/go.mod -o "$work/deadcode" golang.org/x/tools/cmd/deadcode
# "package function", a line each
form='{{range .Funcs}}{{$.Path}} {{.Name}} {{.Position}}{{"\n"}}{{end}}'
"$work/deadcode" -f "$form" ./cmd/... ./bench/... ./internal/... | grep -v '^$' | grep -v -E '^gelwright/internal/(steady|published|postgrestest|buckettest|acmetest) |^gelwright/bench/load ' | sort -u >"$work/native" || true
if [ -d cmd/wasm ]; then
  GOOS=js GOARCH=wasm "$work/deadcode" -f "$form" ./cmd/wasm | grep -v '^$' | sort -u >"$work/browser" || true
  GOOS=js GOARCH=wasm go list -deps ./cmd/wasm | sort -u >"$work/loaded"
  # Dead on both: dead here, and dead in the browser or not in its program at all.
  awk -v loaded="$work/loaded" -v browser="$work/browser" '
    BEGIN { while ((getline l <loaded) > 0) in_browser[l] = 1; while ((getline l <browser) > 0) { split(l, w, " "); dead[w[1] " " w[2]] = 1 } }
    !($1 in in_browser) || (($1 " " $2) in dead)' "$work/native" >"$work/both"
else
  cp "$work/native" "$work/both"
fi
grep -v '^#' internal/rules/unreached.txt | awk '{ print $1 " " $2 }' | sort -u >"$work/argued"
awk '{ print $1 " " $2 }' "$work/both" | sort -u >"$work/found"
if comm -23 "$work/argued" "$work/found" | grep .; then
  echo "these are reached now, or gone: take them out of internal/rules/unreached.txt"
  exit 1
fi
awk -v argued="$work/argued" 'BEGIN { while ((getline l <argued) > 0) known[l] = 1 } !(($1 " " $2) in known)' "$work/both" >"$work/new"
if [ -s "$work/new" ]; then
  awk '{ print $3 ": " $2 " is reached by nothing but tests" }' "$work/new"
  exit 1
fi
echo "every function is reached by the product, but for $(wc -l <"$work/argued") that internal/rules/unreached.txt argues for"
