#!/usr/bin/env bash
# Sets up and runs the main job on an example: builds gelwright, plans the garage
# and leaves the books, drawings and lists in out/garage.
set -euo pipefail
cd "$(dirname "$0")/.."
export CGO_ENABLED=0
go build -o bin/gelwright ./cmd/gelwright
bin/gelwright plan examples/r01-garage.yaml --forecast examples/forecast.csv --out out/garage
