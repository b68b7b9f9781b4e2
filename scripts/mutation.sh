#!/usr/bin/env bash
# Asks whether the tests bite: changes one comparison, operator, sign or number at a time in the packages given, or in
# the default set, and lists what their tests let live (internal/tools/mutants; a package is compiled once).
#
#   bash scripts/mutation.sh ./check/drainage ./firring
#   LEAST=85 bash scripts/mutation.sh              # fail where a package catches less
#   GREMLINS=1 bash scripts/mutation.sh ./check/wind   # the same question put by another program; slow
set -euo pipefail
cd "$(dirname "$0")/.."
export CGO_ENABLED=${CGO_ENABLED:-0} GOFLAGS=${GOFLAGS:--trimpath}
rooms=("$@")
if [ ${#rooms[@]} -eq 0 ]; then
  rooms=(./check/... ./laminate ./firring ./plane ./cutting ./mixing ./cure ./conduction ./ode ./working)
fi
if [ -n "${GREMLINS:-}" ]; then
  tools=$(mktemp -d)
  trap 'rm -rf "$tools"' EXIT
  GOFLAGS= GOBIN="$tools" go install github.com/go-gremlins/gremlins/cmd/gremlins@v0.6.0
  for room in "${rooms[@]}"; do
    GOFLAGS="$GOFLAGS -vet=off" "$tools/gremlins" unleash --workers 1 --timeout-coefficient 20 "$room"
  done
  exit
fi
go run ./internal/tools/mutants -least "${LEAST:-0}" "${rooms[@]}"
