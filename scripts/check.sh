#!/usr/bin/env bash
# Runs everything that proves the project: format, vet, static analysis, dead code, known vulnerabilities, the page's types,
# tests and bytes, all tests, those in a browser among them, the net of digests, the race detector where there is concurrency,
# and the same plan on three processors. Installs what the tests need and says so. This is exactly what continuous
# integration runs.
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
command -v qemu-aarch64 >/dev/null 2>&1 || need+=(qemu-user)
/usr/bin/python3 -c 'import ezdxf' >/dev/null 2>&1 || need+=(python3-ezdxf)
if [ ${#need[@]} -gt 0 ]; then
  echo "installing ${need[*]} (independent readers of papers, drawing files and codes, a renderer of pages, a browser, other processors)"
  root=""
  [ "$(id -u)" = 0 ] || root=sudo
  $root apt-get update -qq
  DEBIAN_FRONTEND=noninteractive $root apt-get install -y -qq "${need[@]}" >/dev/null
else
  echo "all there: poppler-utils, qpdf, zbar-tools, python3-ezdxf, nodejs, npm, chromium, qemu-user"
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

say "dead code"
bash scripts/deadcode.sh

say "known vulnerabilities"
bash scripts/vulnerabilities.sh

say "the page: libraries, types, tests, and the built page as it is committed"
npm --prefix page ci --silent
page/node_modules/.bin/tsc -p page
go -C tools/page run . -tests
bash scripts/engine.sh 5 # the page's tests ask it; what is given away is packed smaller below
node --test build/page-tests/
go -C tools/page run .
if [ -n "$(git status --porcelain -- web/static)" ]; then
  git status --short -- web/static
  echo "the built page is not that of its sources: run 'go -C tools/page run .' and commit web/static"
  exit 1
fi
echo "web/static is what the sources give"

say "what is given away: program, manual, completions, the desk for browsers"
bash scripts/build.sh

say "tests"
go test ./...

say "every output is as recorded"
go run ./internal/net

say "the same plan on amd64, in WebAssembly and on arm64"
bash scripts/same-bytes.sh

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

say "all checks passed"
