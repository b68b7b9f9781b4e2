package web

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"io"
)

// Keyed is what the head of a question may say so that it can be sent again. What is made bears an id that follows from the key: it
// is there or not, also after a crash between, and the store answers the same question as done and refuses another under the same id.
type Keyed struct {
	Key string `header:"Idempotency-Key" maxLength:"200" doc:"The same question with the same key is done once"`
}

// id is the id of what is made of a kind, in or of something; that which is given goes before. Empty where there is neither.
func (q Keyed) id(ctx context.Context, kind, of, given string) string {
	if given != "" || q.Key == "" {
		return given
	}
	h := sha256.New()
	a := actorOf(ctx)
	for _, part := range []string{string(a.ID), kind, of, q.Key} {
		_, _ = io.WriteString(h, part+"\n") // a hash takes all
	}
	return hex.EncodeToString(h.Sum(nil)[:16])
}
