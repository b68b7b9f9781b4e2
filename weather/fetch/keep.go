package fetch

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"os"
	"path/filepath"
	"time"

	"gelwright/weather/forecast"
)

// answer is what is kept of a service's answer.
type answer struct {
	Address      string    `json:"address"`
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
func (c *Client) load(address string) (answer, bool) {
	var a answer
	if c.Folder == "" {
		return a, false
	}
	info, err := os.Stat(c.path(address))
	if err != nil || info.Size() > 2*forecast.MaxBytes {
		return a, false
	}
	data, err := os.ReadFile(c.path(address))
	if err != nil || json.Unmarshal(data, &a) != nil || a.Address != address || len(a.Body) == 0 {
		return answer{}, false
	}
	return a, true
}

// store writes an answer whole or not at all: into a file beside, then renamed.
func (c *Client) store(a answer) error {
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
