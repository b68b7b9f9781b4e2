#!/usr/bin/env bash
# Makes what is installed: out/gelwright_VERSION_ARCH.deb (a service for Debian and its kin) and, where buildah is there,
# out/gelwright-VERSION.oci.tar (a container: the static program on an empty base, with the list of public authorities for the
# weather service). The same commit gives the same package.
#
#   scripts/package.sh [QUALITY]     of the engine's packing, as scripts/build.sh has it; 11 is what is given away
#   VERSION=0.2.0 scripts/package.sh         under a version of its own; without: 0.0.0~DAY.COMMIT
set -euo pipefail
cd "$(dirname "$0")/.."
export CGO_ENABLED=0
arch=$(go env GOARCH)
when=$(git show -s --format=%cI HEAD 2>/dev/null || date -u +%Y-%m-%dT%H:%M:%SZ)
version=${VERSION:-0.0.0~$(date -u -d "$when" +%Y%m%d%H%M).$(git rev-parse --short=10 HEAD 2>/dev/null || echo unknown)}
bash scripts/build.sh "${1:-11}"
strip=out/package/gelwright
mkdir -p out/package
# What is installed has no table of symbols: it is a third smaller, and a fault's stack is told all the same.
commit=$(bin/gelwright --version | sed 's/^.*(\(.*\))$/\1/')
go build -trimpath -buildvcs=false -ldflags "-s -w -X 'main.commit=$commit'" -o "$strip" ./cmd/gelwright

deb="$PWD/out/gelwright_${version}_$arch.deb"
go -C tools/package run . -version "$version" -arch "$arch" -root "$PWD" -out "$deb" -when "$when"
echo "package: $deb, $(stat -c %s "$deb") bytes"

if ! command -v buildah >/dev/null 2>&1; then
  echo "no container: buildah is not installed (apt-get install buildah)"
  exit 0
fi
# Everything of it under out/: no daemon, no registry, nothing of it stays elsewhere.
store=(--root "$PWD/out/package/containers" --runroot "$PWD/out/package/run" --storage-driver vfs)
from=$(buildah "${store[@]}" from scratch)
trap 'buildah "${store[@]}" rm "$from" >/dev/null 2>&1 || true' EXIT
layer=out/package/layer
rm -rf "$layer"
mkdir -p "$layer/etc/ssl/certs" "$layer/data" "$layer/tmp"
cp "$strip" "$layer/gelwright"
cp /etc/ssl/certs/ca-certificates.crt "$layer/etc/ssl/certs/"
echo 'gelwright:x:65532:65532:gelwright server:/data:/nonexistent' >"$layer/etc/passwd"
echo 'gelwright:x:65532:' >"$layer/etc/group"
chmod 1777 "$layer/tmp"
chmod 700 "$layer/data"
find "$layer" -exec touch -h -d "$when" {} +
buildah "${store[@]}" copy --chown 0:0 "$from" "$layer" / >/dev/null
buildah "${store[@]}" copy --chown 65532:65532 "$from" "$layer/data" /data >/dev/null
buildah "${store[@]}" config --user 65532:65532 --workingdir /data --volume /data --port 8443 --port 8442 --env HOME=/data \
  --entrypoint '["/gelwright"]' --cmd 'serve --data /data --listen :8443 --log json' \
  --label org.opencontainers.image.title=gelwright --label "org.opencontainers.image.version=$version" \
  --created-by "scripts/package.sh" "$from"
tag=${version//\~/-} # a tag has no tilde
image="$PWD/out/gelwright-$tag.oci.tar"
rm -f "$image"
buildah "${store[@]}" commit --quiet --timestamp "$(date -d "$when" +%s)" "$from" "oci-archive:$image:gelwright:$tag" >/dev/null
echo "container: $image, $(stat -c %s "$image") bytes"
