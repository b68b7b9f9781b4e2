package fetch

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"os"
	"path/filepath"
	"time"

	"gelwright/weather/forecast"
)

// Keeper keeps answers by their addresses. Its methods may be called from many goroutines.
type Keeper interface {
	// Load gives the answer of an address; false where none is kept.
	Load(ctx context.Context, address string) (Answer, bool, error)
	// Store keeps an answer in the place of an earlier one.
	Store(ctx context.Context, a Answer) error
}

// Answer is what is kept of a service's answer.
type Answer struct {
	Address string `json:"address"`
	// ETag and LastModified are what the service named it by; Body is what it said.
	ETag         string    `json:"etag,omitempty"`
	LastModified string    `json:"last_modified,omitempty"`
	Fetched      time.Time `json:"fetched"`
	Expires      time.Time `json:"expires"`
	Body         []byte    `json:"body"`
}

func (c *Client) path(address string) string {
	sum := sha256.Sum256([]byte(address))
	return filepath.Join(c.Folder, "forecast-"+hex.EncodeToString(sum[:12])+".json")
}

// load reads a kept answer; one that is damaged or of another address is none.
func (c *Client) load(ctx context.Context, address string) (Answer, bool, error) {
	if c.Keep != nil {
		return c.Keep.Load(ctx, address)
	}
	a, had := c.inFolder(address)
	return a, had, nil
}

func (c *Client) inFolder(address string) (Answer, bool) {
	var a Answer
	if c.Folder == "" {
		return a, false
	}
	info, err := os.Stat(c.path(address))
	if err != nil || info.Size() > 2*forecast.MaxBytes {
		return a, false
	}
	data, err := os.ReadFile(c.path(address))
	if err != nil || json.Unmarshal(data, &a) != nil || a.Address != address || len(a.Body) == 0 {
		return Answer{}, false
	}
	return a, true
}

// store writes an answer whole or not at all: into a file beside, then renamed.
func (c *Client) store(ctx context.Context, a Answer) error {
	if c.Keep != nil {
		return c.Keep.Store(ctx, a)
	}
	if c.Folder == "" {
		return nil
	}
	if err := os.MkdirAll(c.Folder, 0o755); err != nil {
		return err
	}
	data, err := json.Marshal(a)
	if err != nil {
		return err
	}
	tmp, err := os.CreateTemp(c.Folder, "forecast-*.part")
	if err != nil {
		return err
	}
	defer os.Remove(tmp.Name())
	if _, err := tmp.Write(data); err != nil {
		tmp.Close()
		return err
	}
	if err := tmp.Close(); err != nil {
		return err
	}
	return os.Rename(tmp.Name(), c.path(a.Address))
}
