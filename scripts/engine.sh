#!/usr/bin/env bash
# Builds the engine for browsers, which the program carries: web/engine/desk.wasm.br and the toolchain's wasm_exec.js. It is
# packed anew only when it has changed. What serves only to print where the program is when it fails is left out; out/named.wasm
# is the same program with it, for whoever looks for a fault.
#
#   scripts/engine.sh [QUALITY]     11, the smallest, takes half a minute; 5 a second, and a fifth more bytes
set -euo pipefail
cd "$(dirname "$0")/.."
export CGO_ENABLED=0
quality=${1:-11}
mkdir -p out
GOOS=js GOARCH=wasm go build $(bash scripts/engine-flags.sh) -trimpath -buildvcs=false -ldflags "-s -w" -o out/named.wasm ./cmd/wasm
go run ./internal/tools/lean out/named.wasm out/desk.wasm
cp "$(go env GOROOT)/lib/wasm/wasm_exec.js" out/
go run ./internal/tools/pack -quality "$quality" out/desk.wasm web/engine/desk.wasm.br
cmp -s out/wasm_exec.js web/engine/wasm_exec.js || cp out/wasm_exec.js web/engine/wasm_exec.js
