package web

import (
	"context"
	"io"
	"net/http"
	"time"

	"gelwright/store"
)

// healthTimeout is how long the store may take to say that it is there.
const healthTimeout = 3 * time.Second

// health says whether the server can do its work: the store answers. It tells nothing else, for anyone may ask.
func (s *Server) health(w http.ResponseWriter, r *http.Request) error {
	ctx, stop := context.WithTimeout(r.Context(), healthTimeout)
	defer stop()
	if _, err := s.Jobs.List(ctx, store.Ask{Size: 1}); err != nil {
		s.failed(r.Context(), "the store does not answer", "error", err)
		return &problem{status: http.StatusServiceUnavailable, Code: "store", Place: "store", Message: "what is kept does not answer",
			Remedy: "Run 'gelwright doctor' on the machine; its log says more"}
	}
	w.Header().Set("Content-Type", jsonMedia)
	w.Header().Set("Cache-Control", "no-store")
	_, err := io.WriteString(w, `{"ok":true}`+"\n")
	return err
}
