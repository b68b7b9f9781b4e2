#!/usr/bin/env bash
# Builds what is given away: the desk for browsers (out/desk.wasm with the toolchain's wasm_exec.js), bin/gelwright, which carries
# it packed, its manual pages (out/man) and the completions of the shells (out/completion). The program names the commit that it
# was built from; the same commit gives the same bytes.
set -euo pipefail
cd "$(dirname "$0")/.."
export CGO_ENABLED=0
commit="unknown commit"
if revision=$(git rev-parse HEAD 2>/dev/null); then
  commit="commit $revision of $(git show -s --format=%cs HEAD)"
  [ -z "$(git status --porcelain --untracked-files=no)" ] || commit="$commit, changed since"
fi
bash scripts/engine.sh "${1:-11}"
go build -trimpath -buildvcs=false -ldflags "-X 'main.commit=$commit'" -o bin/gelwright ./cmd/gelwright
bin/gelwright manual --out out
bin/gelwright --version
