#!/usr/bin/env bash
# Runs everything that proves the project: format, vet, static analysis, dead code, known vulnerabilities, the page's types,
# tests and bytes, all tests, those in a browser among them, the net of digests, the race detector where there is concurrency,
# and the same plan on three processors. Installs what the tests need and says so. This is exactly what continuous
# integration runs. What does not wait for each other goes side by side; each part tells what it has to say when it has ended.
set -euo pipefail
cd "$(dirname "$0")/.."
export CGO_ENABLED=${CGO_ENABLED:-0}

say() { printf '\n== %s\n' "$*"; }

say "what the tests need from Debian"
need=()
command -v pdftoppm >/dev/null 2>&1 || need+=(poppler-utils)
command -v qpdf >/dev/null 2>&1 || need+=(qpdf)
command -v zbarimg >/dev/null 2>&1 || need+=(zbar-tools)
command -v node >/dev/null 2>&1 || need+=(nodejs)
command -v npm >/dev/null 2>&1 || need+=(npm)
command -v chromium >/dev/null 2>&1 || need+=(chromium)
command -v certutil >/dev/null 2>&1 || need+=(libnss3-tools)
ls /usr/lib/postgresql/*/bin/postgres >/dev/null 2>&1 || need+=(postgresql)
command -v qemu-aarch64 >/dev/null 2>&1 || need+=(qemu-user)
/usr/bin/python3 -c 'import ezdxf' >/dev/null 2>&1 || need+=(python3-ezdxf)
if [ ${#need[@]} -gt 0 ]; then
  echo "installing ${need[*]} (independent readers of papers, drawing files and codes, a renderer of pages, a browser, other processors, a database server)"
  root=""
  [ "$(id -u)" = 0 ] || root=sudo
  $root apt-get update -qq
  DEBIAN_FRONTEND=noninteractive $root apt-get install -y -qq "${need[@]}" >/dev/null
else
  echo "all there: poppler-utils, qpdf, zbar-tools, python3-ezdxf, nodejs, npm, chromium, libnss3-tools, postgresql, qemu-user"
fi

say "a server of buckets, for tests: built once"
bash scripts/bucket-server.sh

say "format"
unformatted=$(gofmt -l $(git ls-files '*.go'))
if [ -n "$unformatted" ]; then
  echo "not formatted (run gofmt -w on them):"
  echo "$unformatted"
  exit 1
fi
echo "all files formatted"

# side starts a part beside what follows; ended waits for it and tells what it said.
logs=$(mktemp -d)
trap 'jobs -p | xargs -r kill 2>/dev/null || true; rm -rf "$logs"' EXIT
side() { "$1" >"$logs/$1" 2>&1 & eval "$1_pid=$!"; }
ended() {
  local pid="$1_pid" code=0
  wait "${!pid}" || code=$?
  cat "$logs/$1"
  return $code
}

reading() {
  say "vet"
  go vet ./...
  echo "nothing found"

  say "static analysis"
  go tool -modfile=tools/lint/go.mod staticcheck ./...
  echo "nothing found"

  say "dead code"
  bash scripts/deadcode.sh

  say "known vulnerabilities"
  bash scripts/vulnerabilities.sh
}

tests() {
  say "tests"
  go test -timeout 20m $(go list ./... | grep -v '/internal/browser$')
}

building() {
  page/node_modules/.bin/tsc -p page

  say "what is given away: program, manual, completions, the desk for browsers (packed in a second, not in half a minute)"
  bash scripts/build.sh 5

  say "tests of the page, which ask the engine"
  go -C tools/page run . -tests
  node --test build/page-tests/

  say "a client made from the API's description"
  bash scripts/client.sh
}

browsing() {
  say "tests in a browser"
  go test -timeout 30m ./internal/browser
}

comparing() {
  say "every output is as recorded"
  go run ./internal/net

  say "the same plan on amd64, in WebAssembly and on arm64"
  bash scripts/same-bytes.sh
}

racing() {
  say "race detector, where there is concurrency"
  # What runs at once is written in few packages; each has a test of it with AtOnce in its name.
  concurrent=$(grep -l -E '^\s*go (func|[a-z])|\.Go\(func|sync\.(RW)?Mutex' $(git ls-files '*.go' | grep -v -E '^internal/|^bench/|_test\.go$') 2>/dev/null |
    xargs -r -n1 dirname | sort -u | sed 's|^|./|')
  for p in $concurrent; do
    if ! grep -q -E '^func Test.*AtOnce\(' "$p"/*_test.go; then
      echo "$p runs something at once and has no test of it: write one with AtOnce in its name"
      exit 1
    fi
  done
  if [ -n "$concurrent" ] && command -v gcc >/dev/null 2>&1; then
    CGO_ENABLED=1 go test -short -race -run AtOnce $concurrent
  elif [ -n "$concurrent" ]; then
    echo "not run: the race detector needs a C compiler (apt-get install gcc)"
    exit 1
  else
    echo "no package starts a goroutine"
  fi
}

# The page is built while nothing reads it, and the program before it is tried.
say "the page: libraries, and the built page as it is committed"
npm --prefix page ci --silent
go -C tools/page run .
if [ -n "$(git status --porcelain -- web/static)" ]; then
  git status --short -- web/static
  echo "the built page is not that of its sources: run 'go -C tools/page run .' and commit web/static"
  exit 1
fi
echo "web/static is what the sources give"

side reading
building
ended reading
side tests
browsing
comparing
racing
ended tests

say "all checks passed"
