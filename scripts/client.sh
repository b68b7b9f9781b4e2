#!/usr/bin/env bash
# Makes a client of the API from its description with a kept generator (oapi-codegen), and has it make a job, meet a conflict, join
# it and fetch the papers from the real program. What is generated is not kept.
set -euo pipefail
cd "$(dirname "$0")/.."
export CGO_ENABLED=${CGO_ENABLED:-0}
mkdir -p tools/client/api
go -C tools/client tool oapi-codegen -config generate.yaml ../../docs/openapi.json
work=$(mktemp -d)
go build -o "$work/gelwright" ./cmd/gelwright
go -C tools/client build -o "$work/client" .
cp examples/r01-garage.yaml "$work/roof.yaml"
"$work/gelwright" plan "$work/roof.yaml" --out "$work/plan" >/dev/null
exec {page}< <(exec "$work/gelwright" serve --data "$work/jobs")
server=$!
trap 'kill $server 2>/dev/null || true; rm -rf "$work"' EXIT
read -r -u "$page" address || { echo "the server did not start"; exit 1; }
"$work/client" "${address%%#*}" "$work/roof.yaml" "$work/plan/plan.json"
