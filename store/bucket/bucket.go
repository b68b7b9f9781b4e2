package bucket

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"

	"github.com/minio/minio-go/v7"
	"github.com/minio/minio-go/v7/pkg/credentials"

	"gelwright/store"
)

// Scheme begins the address of a bucket.
const Scheme = "s3://"

// mostTries is how often a request is made that a server did not answer.
const mostTries = 3

// Bucket is a bucket of files.
type Bucket struct {
	client       *minio.Client
	name, prefix string
}

// Open opens a bucket that is there, s3://BUCKET/PREFIX?endpoint=https://HOST:PORT&region=REGION; the prefix and the region may be left
// out. Its keys are in the environment, AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY; in the address they are refused.
func Open(ctx context.Context, address string) (*Bucket, error) {
	u, endpoint, err := parts(address)
	if err != nil {
		return nil, err
	}
	client, err := minio.New(endpoint.Host, &minio.Options{Creds: credentials.NewEnvAWS(), Secure: endpoint.Scheme == "https",
		Region: u.Query().Get("region"), BucketLookup: minio.BucketLookupPath, MaxRetries: mostTries})
	if err != nil {
		return nil, refused("Write it as endpoint=https://HOST:PORT", "its endpoint cannot be used: %v", err)
	}
	b := &Bucket{client: client, name: u.Host, prefix: strings.Trim(u.Path, "/")}
	if b.prefix != "" {
		b.prefix += "/"
	}
	there, err := client.BucketExists(ctx, b.name)
	if err == nil && !there {
		err = &store.Error{Kind: store.Failed, Place: Scheme + b.name, Found: "there is no such bucket",
			Remedy: "Make it on the server, or give another"}
	}
	return b, fault(Scheme+b.name, err)
}

// parts reads an address.
func parts(address string) (u, endpoint *url.URL, err error) {
	u, err = url.Parse(address)
	if err != nil || u.Scheme+"://" != Scheme || u.Host == "" || u.Query().Get("endpoint") == "" {
		return nil, nil, refused("Write it as s3://BUCKET/PREFIX?endpoint=https://HOST:PORT", "its address cannot be read")
	}
	for name := range u.Query() {
		if name != "endpoint" && name != "region" || u.User != nil {
			return nil, nil, refused("Leave it out; keys go into the environment (AWS_ACCESS_KEY_ID, AWS_SECRET_ACCESS_KEY)",
				"its address holds more than endpoint and region")
		}
	}
	endpoint, err = url.Parse(u.Query().Get("endpoint"))
	if err != nil || endpoint.Host == "" || endpoint.Scheme != "https" && endpoint.Scheme != "http" {
		return nil, nil, refused("Write it as endpoint=https://HOST:PORT", "its endpoint cannot be read")
	}
	return u, endpoint, nil
}

// key is where the bytes of a hash lie.
func (b *Bucket) key(hash string) string { return b.prefix + hash[:2] + "/" + hash }

func (b *Bucket) place(hash string) string { return Scheme + b.name + "/" + b.key(hash) }

// Get reads the bytes of a hash and holds them against it.
func (b *Bucket) Get(ctx context.Context, hash string) ([]byte, error) {
	place := b.place(hash)
	in, err := b.client.GetObject(ctx, b.name, b.key(hash), minio.GetObjectOptions{})
	if err != nil {
		return nil, fault(place, err)
	}
	defer in.Close()
	raw, err := io.ReadAll(io.LimitReader(in, store.MostFileBytes+1))
	if err != nil {
		return nil, fault(place, err)
	}
	if sum := sha256.Sum256(raw); hex.EncodeToString(sum[:]) != hash {
		return nil, damaged(place, "its bytes are not those that were written (SHA-256)")
	}
	return raw, nil
}

// Put keeps bytes under their hash, whole or not at all. What is there already, and whole, stays.
func (b *Bucket) Put(ctx context.Context, hash string, raw []byte) (made bool, err error) {
	switch _, err := b.Get(ctx, hash); {
	case err == nil:
		return false, nil
	case store.KindOf(err) != store.Damaged:
		return false, err
	}
	// In one request: of one in parts the parts could stay behind.
	_, err = b.client.PutObject(ctx, b.name, b.key(hash), bytes.NewReader(raw), int64(len(raw)), minio.PutObjectOptions{
		ContentType: "application/octet-stream", DisableMultipart: true, SendContentMd5: true})
	return err == nil, fault(b.place(hash), err)
}

// Drop takes away the bytes of a hash.
func (b *Bucket) Drop(ctx context.Context, hash string) error {
	return fault(b.place(hash), b.client.RemoveObject(ctx, b.name, b.key(hash), minio.RemoveObjectOptions{}))
}

// fault makes a *store.Error of what the server or the network said; one that is one already, and the end of a context, stay.
func fault(place string, err error) error {
	if err == nil || store.KindOf(err) != 0 || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	said := minio.ToErrorResponse(err)
	out := &store.Error{Kind: store.Failed, Place: place, Found: "the bucket did not do it", Cause: err,
		Remedy: "Check that the server runs at this endpoint, then do it again"}
	switch {
	case said.Code == "NoSuchKey":
		return damaged(place, "it is missing")
	case said.Code == "NoSuchBucket":
		out.Found, out.Remedy = "there is no such bucket", "Make it on the server, or give another"
	case said.StatusCode == http.StatusForbidden || said.StatusCode == http.StatusUnauthorized:
		out.Found, out.Remedy = "the server does not take the keys", "Check AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY, and what they may do"
	case said.StatusCode == http.StatusInsufficientStorage || strings.Contains(said.Code, "StorageFull") || said.Code == "QuotaExceeded":
		out.Kind, out.Found, out.Remedy = store.Full, "the bucket is full", "Make room in it, then do it again"
	}
	return out
}

func refused(remedy, format string, args ...any) error {
	return &store.Error{Kind: store.Refused, Place: "bucket", Found: fmt.Sprintf(format, args...), Remedy: remedy}
}

func damaged(place, found string) error {
	return &store.Error{Kind: store.Damaged, Place: place, Found: found, Remedy: "Bring it back from a backup or from an exported job"}
}
