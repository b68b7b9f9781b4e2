#!/usr/bin/env bash
# Prints how long the program takes, beside an earlier revision: medians of user CPU and their ratio.
#
#   scripts/speed.sh [-against REVISION] [-runs N] [-only WORDS]     the last commit beside the one before
set -euo pipefail
cd "$(dirname "$0")/.."
export CGO_ENABLED=0
exec go run ./bench/speed "$@"
