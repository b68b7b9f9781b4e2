#!/usr/bin/env bash
# Builds the bucket server that tests keep files in, once, into build/tools, and prints where it is. It is no part of the product:
# versitygw (Apache-2.0) speaks the S3 protocol over a folder.
set -euo pipefail
cd "$(dirname "$0")/.."
version=v1.8.0
mkdir -p build/tools
path=$PWD/build/tools/versitygw-$version
exec 9>build/tools/.lock
flock 9
if [ ! -x "$path" ]; then
  work=$(mktemp -d)
  trap 'rm -rf "$work"' EXIT
  GOBIN=$work GOFLAGS= CGO_ENABLED=0 go install "github.com/versity/versitygw/cmd/versitygw@$version" >&2
  mv "$work/versitygw" "$path"
fi
echo "$path"
