package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"os"
	"time"

	"github.com/spf13/cobra"

	"gelwright/web"
	"gelwright/web/metrics"
)

// watching says how a server is watched: what its log says and in which form, and where its figures are read.
type watching struct {
	log, metrics string
}

// Forms of the log.
const (
	logText, logJSON, logQuiet = "text", "json", "quiet"
)

func (w *watching) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&w.log, "log", "", "what is logged to standard error: quiet (faults alone), text or json (every answer too); "+
		"without: quiet on this computer, text on a network")
	cmd.Flags().StringVar(&w.metrics, "metrics", "", "address and port on this computer where figures are read in Prometheus form, "+
		"as 127.0.0.1:9464 (without: nowhere)")
}

// logger makes the log. Times are UTC, so that the logs of several machines can be laid side by side.
func (w *watching) logger(out io.Writer, network bool) (*slog.Logger, error) {
	form, least := w.log, slog.LevelInfo
	if form == "" && network {
		form = logText
	} else if form == "" {
		form = logQuiet
	}
	o := &slog.HandlerOptions{Level: &least, ReplaceAttr: func(groups []string, a slog.Attr) slog.Attr {
		if a.Key == slog.TimeKey && len(groups) == 0 {
			a.Value = slog.TimeValue(a.Value.Time().UTC())
		}
		return a
	}}
	switch form {
	case logJSON:
		return slog.New(slog.NewJSONHandler(out, o)), nil
	case logText:
		return slog.New(slog.NewTextHandler(out, o)), nil
	case logQuiet:
		least = slog.LevelWarn
		return slog.New(slog.NewTextHandler(out, o)), nil
	}
	return nil, coded{exitUsage, fmt.Errorf("--log: %q is no form of a log: write quiet, text or json", form)}
}

// counting has the server's figures read until ctx is done, on this computer alone: they tell how much a firm works.
func (w *watching) counting(ctx context.Context, server *web.Server) (<-chan error, error) {
	done := make(chan error, 1)
	if w.metrics == "" {
		close(done)
		return done, nil
	}
	host, _, err := net.SplitHostPort(w.metrics)
	if at, bad := netip.ParseAddr(host); err != nil || host != "localhost" && (bad != nil || !at.IsLoopback()) {
		return nil, coded{exitUsage, fmt.Errorf("--metrics: %q is no address of this computer alone: write 127.0.0.1:9464", w.metrics)}
	}
	on, err := new(net.ListenConfig).Listen(ctx, "tcp", w.metrics)
	if err != nil {
		return nil, fmt.Errorf("--metrics: %w; give another port", err)
	}
	m := metrics.New(versionText())
	server.Watch = m.Watch
	const patience = 10 * time.Second
	reader := &http.Server{Handler: m.Handler(), ReadHeaderTimeout: patience, ReadTimeout: patience, WriteTimeout: patience}
	context.AfterFunc(ctx, func() { reader.Close() })
	go func() {
		if err := reader.Serve(on); !errors.Is(err, http.ErrServerClosed) {
			done <- err
		}
		close(done)
	}()
	return done, nil
}

// tellSystem tells the system's service manager what became of the program (sd_notify(3)); where none asks it does nothing.
func tellSystem(state string) {
	at := os.Getenv("NOTIFY_SOCKET")
	if at == "" {
		return
	}
	c, err := new(net.Dialer).Dial("unixgram", at)
	if err != nil {
		return // it will take the program for one that does not begin, and say so
	}
	defer c.Close()
	_, _ = c.Write([]byte(state))
}
