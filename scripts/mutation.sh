#!/usr/bin/env bash
# Asks whether the tests bite: mutates conditions, signs and operators (gremlins) and moves one number at a time by
# 5 per cent (internal/tools/nudge) in the packages given, or in the default set, and lists what nothing noticed.
# Slow (an hour or more for all); not part of the check.
#
#   bash scripts/mutation.sh check/drainage firring
#   LEAST=85 NUDGES=0 bash scripts/mutation.sh        # all numbers; fail under 85 %
set -euo pipefail
cd "$(dirname "$0")/.."
export CGO_ENABLED=${CGO_ENABLED:-0} GOFLAGS="-trimpath -vet=off"
tools=$(mktemp -d)
trap 'rm -rf "$tools"' EXIT
GOFLAGS= GOBIN="$tools" go install github.com/go-gremlins/gremlins/cmd/gremlins@v0.6.0
rooms=("$@")
if [ ${#rooms[@]} -eq 0 ]; then
  rooms=(check/country check/wind check/snow check/deck check/drainage check/thermal check/moisture check/movement
    check/exposure check/detailing laminate firring plane cutting mixing cure conduction ode working)
fi
echo "== mutants"
go run ./internal/tools/mutants -gremlins "$tools/gremlins" -least "${LEAST:-0}" "${rooms[@]}"
echo "== numbers moved by 5 per cent"
go run ./internal/tools/nudge -n "${NUDGES:-60}" -seed "${SEED:-1}" "${rooms[@]/#/./}"
