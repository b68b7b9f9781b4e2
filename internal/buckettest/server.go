package buckettest

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/minio/minio-go/v7"
	"github.com/minio/minio-go/v7/pkg/credentials"
)

const key, secret = "tests", "only-for-tests"

// server is a server of buckets that runs.
type server struct {
	host   string
	client *minio.Client
	made   atomic.Int32
	remain io.Closer // while it is open the server runs
}

var shared = sync.OnceValues(start)

// New gives the address of an empty bucket on the server of this test process, and puts its keys into the environment.
func New(t *testing.T) string {
	t.Helper()
	s, err := shared()
	if err != nil {
		t.Fatal(err)
	}
	t.Setenv("AWS_ACCESS_KEY_ID", key)
	t.Setenv("AWS_SECRET_ACCESS_KEY", secret)
	name := fmt.Sprint("bucket", s.made.Add(1))
	if err := s.client.MakeBucket(t.Context(), name, minio.MakeBucketOptions{}); err != nil {
		t.Fatal(err)
	}
	return "s3://" + name + "/photos?" + url.Values{"endpoint": {"http://" + s.host}}.Encode()
}

// Keys are the names of all that lies in the bucket at an address, what is half sent among them.
func Keys(t *testing.T, address string) []string {
	t.Helper()
	s, err := shared()
	if err != nil {
		t.Fatal(err)
	}
	u, err := url.Parse(address)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for o := range s.client.ListObjects(t.Context(), u.Host, minio.ListObjectsOptions{Recursive: true}) {
		if o.Err != nil {
			t.Fatal(o.Err)
		}
		out = append(out, o.Key)
	}
	for o := range s.client.ListIncompleteUploads(t.Context(), u.Host, "", true) {
		if o.Err != nil {
			t.Fatal(o.Err)
		}
		out = append(out, "half of "+o.Key)
	}
	return out
}

// Spoil writes other bytes over what lies in the bucket at an address.
func Spoil(t *testing.T, address, key string) {
	t.Helper()
	s, err := shared()
	if err != nil {
		t.Fatal(err)
	}
	u, err := url.Parse(address)
	if err != nil {
		t.Fatal(err)
	}
	other := "other bytes"
	_, err = s.client.PutObject(t.Context(), u.Host, key, strings.NewReader(other), int64(len(other)), minio.PutObjectOptions{})
	if err != nil {
		t.Fatal(err)
	}
}

// program is where the server's program lies; it is built where it is not there.
func program() (string, error) {
	_, here, _, _ := runtime.Caller(0)
	script := filepath.Join(filepath.Dir(here), "..", "..", "scripts", "bucket-server.sh")
	c := exec.Command("bash", script)
	var errs bytes.Buffer
	c.Stderr = &errs
	out, err := c.Output()
	if err != nil {
		return "", fmt.Errorf("these tests need a server of buckets (bash scripts/bucket-server.sh builds it): %w: %s", err, errs.String())
	}
	return strings.TrimSpace(string(out)), nil
}

// running has a server while its input is open; then it ends it and takes its folder away.
const running = `"$1" --port "$3" --quiet posix --sidecar "$2/more" "$2/buckets" >"$2/log" 2>&1 &
cat >/dev/null
kill -KILL $!
wait
rm -rf "$2"`

func start() (*server, error) {
	path, err := program()
	if err != nil {
		return nil, err
	}
	dir, err := os.MkdirTemp("", "gelwright-buckets-")
	if err != nil {
		return nil, err
	}
	for _, name := range []string{"buckets", "more"} {
		if err := os.Mkdir(filepath.Join(dir, name), 0o700); err != nil {
			return nil, err
		}
	}
	free, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return nil, err
	}
	s := &server{host: free.Addr().String()}
	free.Close()
	c := exec.Command("sh", "-c", running, "sh", path, dir, s.host)
	c.Env = append(os.Environ(), "ROOT_ACCESS_KEY="+key, "ROOT_SECRET_KEY="+secret)
	if s.remain, err = c.StdinPipe(); err != nil {
		return nil, err
	}
	s.client, err = minio.New(s.host, &minio.Options{Creds: credentials.NewStaticV4(key, secret, ""), BucketLookup: minio.BucketLookupPath})
	if err != nil {
		return nil, err
	}
	if err := c.Start(); err != nil {
		return nil, err
	}
	return s, s.answers(filepath.Join(dir, "log"))
}

// answers waits until the server does.
func (s *server) answers(log string) error {
	const most = 60 * time.Second
	ctx, cancel := context.WithTimeout(context.Background(), most)
	defer cancel()
	for {
		_, err := s.client.ListBuckets(ctx)
		if err == nil {
			return nil
		}
		select {
		case <-ctx.Done():
			said, _ := os.ReadFile(log)
			return fmt.Errorf("the server of buckets did not answer: %w: %s", err, bytes.TrimSpace(said))
		case <-time.After(20 * time.Millisecond):
		}
	}
}
