package bucket_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"io"
	"net"
	"net/url"
	"strings"
	"sync/atomic"
	"testing"

	"gelwright/internal/buckettest"
	_ "gelwright/internal/steady"
	"gelwright/store"
	"gelwright/store/bucket"
	"gelwright/store/sqlite"
	"gelwright/store/storetest"
	"gelwright/store/tables"
)

func open(t *testing.T) (tables.Files, func(string)) {
	address := buckettest.New(t)
	b, err := bucket.Open(t.Context(), address)
	if err != nil {
		t.Fatal(err)
	}
	return b, func(hash string) { buckettest.Spoil(t, address, "photos/"+hash[:2]+"/"+hash) }
}

func TestContract(t *testing.T) { storetest.Bytes(t, open) }

func TestSameBytesAtOnce(t *testing.T) { storetest.BytesAtOnce(t, open) }

// TestStoreOverABucket holds a folder of jobs whose files lie in a bucket to the whole contract of a store.
func TestStoreOverABucket(t *testing.T) {
	storetest.Exercise(t, func(tb testing.TB) (store.Store, func() store.Store) {
		files, _ := open(t)
		dir := tb.TempDir()
		again := func() store.Store {
			db, err := sqlite.OpenAt(t.Context(), dir, files, 0)
			if err != nil {
				tb.Fatal(err)
			}
			tb.Cleanup(func() { db.Close() })
			return db
		}
		return again(), again
	})
}

// cutting passes a connection on, but only so many bytes of what is sent while it is told to cut.
func cutting(t *testing.T, to string) (host string, most *atomic.Int64) {
	t.Helper()
	on, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { on.Close() })
	most = &atomic.Int64{}
	most.Store(1 << 40)
	go func() {
		for {
			c, err := on.Accept()
			if err != nil {
				return
			}
			go func() {
				defer c.Close()
				s, err := net.Dial("tcp", to)
				if err != nil {
					return
				}
				defer s.Close()
				go io.Copy(c, s)
				for left := most.Load(); left > 0; left = min(left, most.Load()) {
					n, err := io.CopyN(s, c, min(left, 4096))
					if left -= n; err != nil {
						return
					}
				}
			}()
		}
	}()
	return on.Addr().String(), most
}

// TestUploadThatIsLostHalfWay cuts the line after more and more of a file is sent: it is told, nothing of the file is there, and sent
// again it is kept.
func TestUploadThatIsLostHalfWay(t *testing.T) {
	address := buckettest.New(t)
	u, err := url.Parse(address)
	if err != nil {
		t.Fatal(err)
	}
	q := u.Query()
	host, most := cutting(t, strings.TrimPrefix(q.Get("endpoint"), "http://"))
	q.Set("endpoint", "http://"+host)
	u.RawQuery = q.Encode()
	b, err := bucket.Open(t.Context(), u.String())
	if err != nil {
		t.Fatal(err)
	}
	raw := bytes.Repeat([]byte("pixels.."), 1<<17)
	sum := sha256.Sum256(raw)
	hash := hex.EncodeToString(sum[:])
	for _, sent := range []int64{0, 2000, 100_000, 1 << 20} {
		most.Store(sent)
		if made, err := b.Put(t.Context(), hash, raw); made || store.KindOf(err) != store.Failed {
			t.Errorf("cut after %d bytes: made %v, %v", sent, made, err)
		}
		if keys := buckettest.Keys(t, address); len(keys) != 0 {
			t.Errorf("cut after %d bytes it left %v", sent, keys)
		}
	}
	most.Store(1 << 40)
	if made, err := b.Put(t.Context(), hash, raw); !made || err != nil {
		t.Errorf("sent again: made %v, %v", made, err)
	}
	if keys := buckettest.Keys(t, address); len(keys) != 1 {
		t.Errorf("sent again there is %v", keys)
	}
}

// TestWhatCannotBeOpened names buckets that are none: each says what to do, and tells no key.
func TestWhatCannotBeOpened(t *testing.T) {
	address := buckettest.New(t)
	for _, c := range []struct {
		address  string
		stranger bool
		kind     store.Kind
		says     string
	}{
		{"s3://bucket", false, store.Refused, "Write it as s3://BUCKET"},
		{"s3:///x?endpoint=http://localhost:1", false, store.Refused, "Write it as s3://BUCKET"},
		{"s3://b?endpoint=localhost", false, store.Refused, "Write it as endpoint="},
		{"s3://id:hidden@b?endpoint=http://localhost:1", false, store.Refused, "keys go into the environment"},
		{"s3://b?endpoint=http://localhost:1&secret=hidden", false, store.Refused, "keys go into the environment"},
		{strings.Replace(address, "s3://bucket", "s3://nobucket", 1), false, store.Failed, "there is no such bucket"},
		{"s3://b?endpoint=http://127.0.0.1:1", false, store.Failed, "Check that the server runs"},
		{address, true, store.Failed, "the server does not take the keys"},
	} {
		if c.stranger {
			t.Setenv("AWS_SECRET_ACCESS_KEY", "another")
		}
		_, err := bucket.Open(t.Context(), c.address)
		if store.KindOf(err) != c.kind || !strings.Contains(err.Error(), c.says) || strings.Contains(err.Error(), "hidden") {
			t.Errorf("%s: %v", c.address, err)
		}
	}
}
