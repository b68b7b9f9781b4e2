#!/usr/bin/env bash
# Plans roofs with the same program built for this processor, for WebAssembly (run in node) and for arm64 (run in Debian's
# qemu-user) and compares the plans byte for byte. The arm64 build forbids the compiler to fuse products and sums
# (-d=fmahash=qn); without that its last digits differ. Needs node; installs qemu-user and says so.
#
#   scripts/same-bytes.sh [ROOF.yaml…]     three of the examples when none is named
set -euo pipefail
cd "$(dirname "$0")/.."
export CGO_ENABLED=0
roofs=("$@")
[ ${#roofs[@]} -gt 0 ] || roofs=(examples/r01-garage.yaml examples/r04-l-shape.yaml examples/r12-hall.yaml)
command -v node >/dev/null 2>&1 || { echo "same-bytes: node runs the WebAssembly build: apt-get install nodejs"; exit 1; }
if ! command -v qemu-aarch64 >/dev/null 2>&1; then
  echo "installing qemu-user (runs the arm64 build)"
  root=""
  [ "$(id -u)" = 0 ] || root=sudo
  $root apt-get update -qq
  DEBIAN_FRONTEND=noninteractive $root apt-get install -y -qq qemu-user >/dev/null
fi
dir=$(mktemp -d)
trap 'rm -rf "$dir"' EXIT
unfused=-gcflags=all=-d=fmahash=qn # argued in package elementary

GOARCH=amd64 go build -o "$dir/amd64" ./internal/samebytes
GOOS=js GOARCH=wasm go build $(bash scripts/engine-flags.sh) -o "$dir/named" ./internal/samebytes
go run ./internal/tools/lean "$dir/named" "$dir/wasm" # as scripts/engine.sh does
GOARCH=arm64 go build "$unfused" -o "$dir/arm64" ./internal/samebytes

"$dir/amd64" "$dir/amd64" "${roofs[@]}"
node --stack-size=8192 "$(go env GOROOT)/lib/wasm/wasm_exec_node.js" "$dir/wasm" "$dir/wasm" "${roofs[@]}"
qemu-aarch64 "$dir/arm64" "$dir/arm64" "${roofs[@]}"

bad=0
for roof in "${roofs[@]}"; do
  name=$(basename "$roof" .yaml)
  line="$name:"
  for other in wasm arm64; do
    if cmp -s "$dir/amd64-$name.json" "$dir/$other-$name.json"; then
      line="$line $other as amd64,"
    else
      line="$line $other DIFFERS in $(diff "$dir/amd64-$name.json" "$dir/$other-$name.json" | grep -c '^<') of $(wc -l <"$dir/amd64-$name.json") lines,"
      bad=1
    fi
  done
  echo "$line $(wc -c <"$dir/amd64-$name.json") bytes"
done
exit $bad
