#!/usr/bin/env bash
# Runs everything that proves the project: format, vet, static analysis, known
# vulnerabilities, all tests, the race detector where there is concurrency, and
# the WebAssembly build of the engine. Installs what the tests need and says so.
# This is exactly what continuous integration runs.
set -euo pipefail
cd "$(dirname "$0")/.."
export CGO_ENABLED=${CGO_ENABLED:-0}

say() { printf '\n== %s\n' "$*"; }

say "what the tests need from Debian"
need=()
command -v pdftoppm >/dev/null 2>&1 || need+=(poppler-utils)
command -v zbarimg >/dev/null 2>&1 || need+=(zbar-tools)
/usr/bin/python3 -c 'import ezdxf' >/dev/null 2>&1 || need+=(python3-ezdxf)
if [ ${#need[@]} -gt 0 ]; then
  echo "installing ${need[*]} (independent readers of drawing files and of codes, a renderer of pages)"
  root=""
  [ "$(id -u)" = 0 ] || root=sudo
  $root apt-get update -qq
  DEBIAN_FRONTEND=noninteractive $root apt-get install -y -qq "${need[@]}" >/dev/null
else
  echo "all there: poppler-utils, python3-ezdxf, zbar-tools"
fi

say "format"
unformatted=$(gofmt -l $(git ls-files '*.go'))
if [ -n "$unformatted" ]; then
  echo "not formatted (run gofmt -w on them):"
  echo "$unformatted"
  exit 1
fi
echo "all files formatted"

say "vet"
go vet ./...
echo "nothing found"

say "static analysis"
go tool -modfile=tools/lint/go.mod staticcheck ./...
echo "nothing found"

say "known vulnerabilities"
bash scripts/vulnerabilities.sh

say "the engine builds for the browser"
engine=$(go list ./... | grep -v -E '/(cmd|document|scene|drawing|internal|bench)(/|$)|weather/fetch')
GOOS=js GOARCH=wasm go build $engine
echo "$(echo "$engine" | wc -l) packages"

say "tests"
go test ./...

say "race detector, where there is concurrency"
concurrent=$(grep -l -E '^\s*go (func|[a-z])' $(git ls-files '*.go') 2>/dev/null | xargs -r -n1 dirname | sort -u | sed 's|^|./|')
if [ -n "$concurrent" ] && command -v gcc >/dev/null 2>&1; then
  CGO_ENABLED=1 go test -race $concurrent
elif [ -n "$concurrent" ]; then
  echo "not run: the race detector needs a C compiler (apt-get install gcc)"
  exit 1
else
  echo "no package starts a goroutine"
fi

say "all checks passed"
